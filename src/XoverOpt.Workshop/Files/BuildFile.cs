using System.Reflection;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>The build/1 file: one earpiece, what it does and what it costs.</summary>
public static class BuildFile
{
    /// <summary>The caution every build and result bears.</summary>
    public const string Caution =
        "Levels are at the eardrum of an ear simulator, one average ear. Loud sound injures hearing for good, and the peak levels named here "
        + "can do so within seconds: start low, limit the drive and the time, and keep to local rules on noise. Taking an ear impression can "
        + "hurt the ear: leave it to somebody trained and, where the law asks for it, licensed.";

    /// <summary>The version of the program that is running.</summary>
    public static string ProgramVersion { get; } =
        typeof(BuildFile).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion ?? "unknown";

    /// <summary>The text of a build file. The same arguments give the same text, in any culture.</summary>
    /// <param name="build">The build; every value as it can be bought or cut.</param>
    /// <param name="problem">The problem it answers: its lists give the part numbers.</param>
    /// <param name="response">Its response.</param>
    /// <param name="programVersion">Version to name; the running program's where left out.</param>
    public static string Write(RankedBuild build, Problem problem, EarpieceResponse response, string? programVersion = null) =>
        BuildFileJson.Text(json =>
        {
            json.WriteString("format", "build/1");
            json.WriteNumber("rank", build.Rank);
            json.WriteOrigin(problem);
            json.WriteString("programVersion", programVersion ?? ProgramVersion);
            json.WriteString("caution", Caution);
            json.WriteText("key", build.Key);
            json.WriteBoolean("feasible", build.Feasible);
            json.WriteFinite("violation", build.Violation);
            json.WriteStartArray("brokenLimits");
            foreach (string limit in build.BrokenLimits)
            {
                json.WriteStringValue(limit);
            }

            json.WriteEndArray();
            json.WriteFinite("relaxedCost", build.RelaxedCost);
            json.WriteFinite("snappingLossPercent", build.SnappingLossPercent);
            BuildFileAdvice.Write(json, build.Advice);
            BuildFileWriter.Cost(json, build.Cost);
            BuildFileWriter.Figures(json, build.Figures);
            BuildFileWays.Write(json, build.Earpiece, problem);
            BuildFileWriter.Response(json, response);
        });

    /// <summary>Reads a build that uses receivers of a drawer.</summary>
    /// <param name="json">The text, UTF-8.</param>
    /// <param name="fileName">The name faults bear.</param>
    /// <param name="inventory">The drawer its receivers are in.</param>
    public static Reading<BuildDocument> Read(ReadOnlyMemory<byte> json, string fileName, Inventory inventory) =>
        Read(json, fileName, inventory.Receivers);

    /// <summary>Reads a build that uses receivers a problem allows in any of its ways.</summary>
    /// <inheritdoc cref="Read(ReadOnlyMemory{byte}, string, Inventory)"/>
    public static Reading<BuildDocument> Read(ReadOnlyMemory<byte> json, string fileName, Problem problem) =>
        Read(json, fileName, problem.Ways.SelectMany(way => way.Receivers));

    private static Reading<BuildDocument> Read(ReadOnlyMemory<byte> json, string fileName, IEnumerable<StockReceiver> receivers)
    {
        FaultList faults = new();
        Dictionary<string, Receiver> known = [];
        foreach (StockReceiver receiver in receivers)
        {
            known.TryAdd(receiver.Receiver.PartNumber, receiver.Receiver);
        }

        return faults.End(JsonSource.Parse(fileName, json, faults)?.AsObject() is { } reader ? Document(reader, known) : null);
    }

    private static BuildDocument? Document(ObjectReader reader, Dictionary<string, Receiver> receivers)
    {
        if (reader.Format("build/1") is null)
        {
            return null;
        }

        BuildDocument document = new()
        {
            Rank = (int?)reader.Whole("rank", 0, 1_000_000),
            Job = reader.Text("job"),
            JobHash = reader.Text("jobHash"),
            InventoryHash = reader.Text("inventoryHash"),
            ProgramVersion = reader.Text("programVersion"),
            Key = reader.Text("key", 10_000),
            Feasible = reader.Optional("feasible")?.AsFlag(),
            Violation = BuildFileReader.NumberOrNull(reader, "violation"),
            BrokenLimits = [.. (reader.List("brokenLimits", max: 1000) ?? []).Select(item => item.AsText(1000)).OfType<string>()],
            RelaxedCost = BuildFileReader.NumberOrNull(reader, "relaxedCost"),
            SnappingLossPercent = BuildFileReader.NumberOrNull(reader, "snappingLossPercent"),
            Advice = BuildFileAdvice.Read(reader),
            Cost = BuildFileReader.Cost(reader.Object("cost")),
            Figures = BuildFileReader.Figures(reader.Object("figures")),
            Earpiece = new Earpiece(new BuildFileWayReader(receivers).Read(reader.RequiredList("ways", min: 1, max: 16) ?? [])),
            Response = BuildFileResponse.Read(reader.Object("response")),
        };
        _ = reader.Text("caution", 10_000);
        reader.Finish();
        return document;
    }
}
