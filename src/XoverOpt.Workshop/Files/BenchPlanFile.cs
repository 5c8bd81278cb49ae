using System.Globalization;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop;

/// <summary>Reads bench plans (bench-plan/1): which builds, how many sets of each, by when.</summary>
public static class BenchPlanFile
{
    /// <summary>The format of the file.</summary>
    public const string Format = "bench-plan/1";

    /// <summary>Most builds of a plan.</summary>
    public const int MostBuilds = 100;

    /// <summary>Most sets of a build.</summary>
    public const int MostSets = 100_000;

    /// <summary>Reads a file. Paths in it start from its own folder.</summary>
    public static Reading<BenchPlanDocument> Read(string path)
    {
        FaultList faults = new();
        return faults.End(JsonSource.Open(path, faults) is { } at ? Read(at, Path.GetDirectoryName(path) ?? "") : null);
    }

    /// <summary>Reads a plan that was sent.</summary>
    public static Reading<BenchPlanDocument> ReadPosted(ReadOnlyMemory<byte> json)
    {
        FaultList faults = new();
        return faults.End(JsonSource.Parse("plan", json, faults) is { } at ? Read(at, "") : null);
    }

    /// <summary>A day such as 2026-12-15; null for anything else.</summary>
    public static DateOnly? Day(string? text) =>
        DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out DateOnly day) ? day : null;

    private static BenchPlanDocument? Read(JsonCursor at, string folder)
    {
        if (at.AsObject("an object that describes a bench plan") is not { } reader || reader.Format(Format) is null)
        {
            return null;
        }

        string name = reader.Text("name") ?? "Bench plan";
        DateOnly? neededBy = ReadDay(reader, "neededBy");
        int perSet = (int)(reader.Whole("earpiecesPerSet", 1, 16) ?? 2);
        decimal loss = reader.Optional("cutLossMm")?.AsAmount(100) ?? PartsOrder.UsualCutLossMm;
        BenchPlanBuild[] builds = [.. (reader.RequiredList("builds", 1, MostBuilds) ?? []).Select(build => ReadBuild(build, folder)).OfType<BenchPlanBuild>()];
        reader.Finish();
        return at.Faults.Count == 0 ? new(name, neededBy, perSet, loss, builds) : null;
    }

    private static BenchPlanBuild? ReadBuild(JsonCursor at, string folder)
    {
        const string Forms = "an object with \"build\" and \"job\", two files, or with \"run\" and \"rank\", a run of the worker";
        if (at.AsObject(Forms) is not { } reader)
        {
            return null;
        }

        bool stored = reader.Has("run") || reader.Has("rank");
        BenchPlanBuild build = new(
            stored ? null : Path.Combine(folder, reader.RequiredText("build", 1000)),
            stored ? null : Path.Combine(folder, reader.RequiredText("job", 1000)),
            stored ? reader.RequiredText("run", 100) : null,
            stored ? (int)(reader.Required("rank", "a whole number")?.AsWhole(1, 100_000) ?? 0) : null,
            (int)(reader.Required("sets", "a whole number")?.AsWhole(1, MostSets) ?? 0),
            (int)(reader.Whole("priority", 1, 1000) ?? 1));
        reader.Finish();
        return build;
    }

    private static DateOnly? ReadDay(ObjectReader reader, string key)
    {
        if (reader.Optional(key) is not { } at || at.AsText(40) is not { } text)
        {
            return null;
        }

        DateOnly? day = Day(text);
        if (day is null)
        {
            at.Refuse("a day such as \"2026-12-15\"");
        }

        return day;
    }
}

/// <summary>A bench plan as read.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="NeededBy">The day by which all parts must be there; null where none is set.</param>
/// <param name="EarpiecesPerSet">2 for a left and a right.</param>
/// <param name="CutLossMm">Tubing lost at each cut, mm.</param>
/// <param name="Builds">The builds.</param>
public sealed record BenchPlanDocument(string Name, DateOnly? NeededBy, int EarpiecesPerSet, decimal CutLossMm, IReadOnlyList<BenchPlanBuild> Builds);

/// <summary>A build of a plan: two files, or a run and a rank.</summary>
/// <param name="Build">The build file; null for a build of a run.</param>
/// <param name="Job">The job file; null for a build of a run.</param>
/// <param name="Run">The run; null for a file.</param>
/// <param name="Rank">The rank in it; null for a file.</param>
/// <param name="Sets">Sets wanted.</param>
/// <param name="Priority">What a set counts for.</param>
public sealed record BenchPlanBuild(string? Build, string? Job, string? Run, int? Rank, int Sets, int Priority);
