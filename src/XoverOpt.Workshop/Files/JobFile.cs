using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Reads jobs (job/1) and makes problems of them; the only maker of a <see cref="Problem"/>.</summary>
public static class JobFile
{
    /// <summary>The name faults bear when a job did not come from a file.</summary>
    public const string PostedName = "job";

    /// <summary>Reads a job file. Paths in it start from its own folder.</summary>
    public static Reading<JobDocument> Read(string path)
    {
        FaultList faults = new();
        string folder = Path.GetDirectoryName(path) ?? "";
        return faults.End(JsonSource.Open(path, faults) is { } at ? Read(at, new StockPlace(folder, Confined: false)) : null);
    }

    /// <summary>
    /// Reads a job that was sent. Paths of its inventory start from the inventory root and never leave it; "../driverlib" means the
    /// root itself.
    /// </summary>
    /// <param name="json">The job.</param>
    /// <param name="inventoryRoot">The folder of the worker's inventory.</param>
    public static Reading<JobDocument> ReadPosted(ReadOnlyMemory<byte> json, string inventoryRoot)
    {
        FaultList faults = new();
        return faults.End(JsonSource.Parse(PostedName, json, faults) is { } at ? Read(at, new StockPlace(inventoryRoot, Confined: true)) : null);
    }

    private static JobDocument? Read(JsonCursor at, StockPlace place)
    {
        if (at.AsObject("an object that describes a job") is not { } job || job.Format("job/1") is null)
        {
            return null;
        }

        string name = job.Text("name") ?? JobDefaults.Name;
        string? note = job.Text("note", 10_000);
        Inventory? inventory = job.Required("inventory", "a folder, a file, the stock itself, or a list of these") is { } stock
            ? InventoryFile.Read(stock, place)
            : null;
        Target? target = job.RequiredObject("target") is { } wanted ? TargetReader.Read(wanted, place.Confined ? null : place.Folder) : null;
        PhaseGoal phase = TargetReader.ReadPhase(job.Object("phase"), target);
        Limits limits = SettingsReader.Limits(job.Object("limits"));
        StockRule rule = new(limits.StockOnly, limits.Sets, limits.EarpiecesPerSet);
        PassiveStock passives = SettingsReader.Passives(job.Object("passives"), inventory?.Passives ?? new([], [], []), rule);
        double stepMm = ReadStep(job.Object("tube"));
        IReadOnlyList<WayChoice> ways = new WayReader(inventory, passives, rule, stepMm).Read(job);
        JobVariant? variant = new VariantReader(inventory, rule).Read(job, place, ref ways, out JsonObject? parent);
        JobKnown? known = KnownBuildReader.Known(job.Object("known"), inventory);
        CheckReceivers(job, ways, limits);

        Problem problem = new()
        {
            Name = name,
            Target = target!,
            Phase = phase,
            Source = SettingsReader.Drive(job.Object("drive")),
            Ear = SettingsReader.Ear(job.Object("ear")),
            Ways = ways,
            Limits = limits,
            Passives = passives,
            Cost = SettingsReader.Cost(job.Object("cost")),
            Effort = SettingsReader.Effort(job.Object("effort")),
            Robust = SettingsReader.Robust(job.Object("robust")),
            TubeStep = Units.FromMm(stepMm),
            Known = [.. new[] { variant?.Parent }.OfType<Earpiece>(), .. known?.Builds ?? []],
        };
        JobSchedule schedule = SettingsReader.Schedule(job.Object("schedule"));
        job.Finish();

        // A target or an inventory is missing only with a fault that says so.
        return at.Faults.Count == 0 && Complete(at, problem, inventory!, parent) is { } document
            ? document with { Note = note, Schedule = schedule, From = variant, Known = known }
            : null;
    }

    private static double ReadStep(ObjectReader? reader)
    {
        double step = reader?.Number("cutStepMm", new(0.01, 10, "mm")) ?? JobDefaults.CutStepMm;
        reader?.Finish();
        return step;
    }

    private static void CheckReceivers(ObjectReader job, IReadOnlyList<WayChoice> ways, Limits limits)
    {
        int fewest = ways.Sum(way => way.Counts.DefaultIfEmpty(1).Min());
        if (limits.MaxReceivers < fewest)
        {
            JsonCursor at = job.Object("limits")!.Optional("maxReceivers")!;
            at.Refuse(
                string.Create(CultureInfo.InvariantCulture, $"at least {fewest}, the fewest that the {ways.Count} ways can have"),
                "Raise maxReceivers, or list fewer ways or smaller counts.");
        }
    }

    private static JobDocument? Complete(JsonCursor at, Problem problem, Inventory inventory, JsonObject? parent)
    {
        JsonObject whole = JsonObject.Create(at.Element)!;
        whole["inventory"] = JsonNode.Parse(inventory.Json);
        if (whole["target"] is JsonObject target && target.Remove("file"))
        {
            target["points"] = Points(problem.Target.Curve, "db");
            target["weights"] = Points(problem.Target.Weights, "weight");
        }

        if (parent is not null)
        {
            whole["from"]!["build"] = parent;
        }

        using JsonDocument document = JsonDocument.Parse(whole.ToJsonString());
        JsonElement element = document.RootElement;
        string json = CanonicalJson.Of(element);
        if (System.Text.Encoding.UTF8.GetByteCount(json) > JsonSource.MostBytes)
        {
            at.Refuse(
                $"a job of at most {JsonSource.MostBytes} bytes (8 MB) with its inventory inside",
                "Name fewer inventory files.",
                "a larger one");
            return null;
        }

        return new JobDocument
        {
            Problem = problem with
            {
                JobHash = CanonicalJson.Hash(CanonicalJson.Of(element, "inventory", "note", "schedule")),
                InventoryHash = inventory.Hash,
            },
            SelfContainedJson = json,
            Inventory = inventory,
        };
    }

    private static JsonArray Points(LogCurve curve, string key) =>
        [.. curve.Hz.Zip(curve.Values, (hz, value) => new JsonObject { ["hz"] = hz, [key] = value })];
}
