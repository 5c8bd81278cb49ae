using System.Text;
using System.Text.Json;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Curves to be laid side by side, as they are posted: measured ones, and builds with the job that judges them.</summary>
/// <param name="Job">The job; null where there is none, and then no build and no target either.</param>
/// <param name="Curves">Measured curves first, then builds.</param>
public sealed record MeasuredRequest(JobDocument? Job, IReadOnlyList<MeasuredCurve> Curves)
{
    /// <summary>The format it bears.</summary>
    public const string Format = "compare/1";

    /// <summary>Most curves and builds together.</summary>
    public const int MostCurves = 24;

    /// <summary>The figures of every curve.</summary>
    public IReadOnlyList<MeasuredFigures> Judge() => Judge(Job, Curves);

    /// <summary>The figures of curves under a job, or under the usual phase band without one.</summary>
    public static IReadOnlyList<MeasuredFigures> Judge(JobDocument? job, IReadOnlyList<MeasuredCurve> curves)
    {
        MeasuredJudgement judgement = new(
            job?.Problem.Target,
            job?.Problem.Phase ?? new PhaseGoal(PhaseKind.Excess, JobDefaults.PhaseBandHz.Low, JobDefaults.PhaseBandHz.High, JobDefaults.PhaseLimitDeg, Units.FromUs(JobDefaults.ArrivalLimitUs)));
        return [.. curves.Select(judgement.Of)];
    }

    /// <summary>
    /// A build as the bench would have measured it: where measured curves stand beside it, in their band only, so that what differs is not what a
    /// minimum phase makes of the data's edges.
    /// </summary>
    public static MeasuredCurve Build(BuildDocument build, BuildEvaluation evaluation, string name, IReadOnlyList<MeasuredCurve> measured)
    {
        Acoustics.EarpieceResponse response = evaluation.Response(build.Earpiece);
        (double low, double high) = measured.Count == 0 ? (0, double.MaxValue) : (measured.Min(curve => curve.LowHz) / 1.001, measured.Max(curve => curve.HighHz) * 1.001);
        int[] kept = [.. Enumerable.Range(0, response.Hz.Length).Where(k => response.Hz[k] >= low && response.Hz[k] <= high)];
        return MeasuredCurve.Of(name, [.. kept.Select(k => response.Hz[k])], [.. kept.Select(k => response.Pressure[k])], [.. kept.Select(k => response.Impedance[k])]) with
        {
            Remarks = measured.Count == 0 ? [] : ["taken in the band of the measured curves, so that it compares with them; its own figures see the whole response"],
        };
    }

    /// <summary>Reads a posted request.</summary>
    /// <param name="json">The body, UTF-8.</param>
    /// <param name="inventoryRoot">Where a posted job's inventory is looked for.</param>
    public static Reading<MeasuredRequest> ReadPosted(ReadOnlyMemory<byte> json, string inventoryRoot)
    {
        FaultList faults = new();
        ObjectReader? reader = JsonSource.Parse(FitFile.PostedName, json, faults)?.AsObject();
        return faults.End(reader?.Format(Format) is null ? null : Read(reader!, inventoryRoot, faults));
    }

    private static MeasuredRequest? Read(ObjectReader reader, string inventoryRoot, FaultList faults)
    {
        List<MeasuredCurve> curves = [];
        foreach (JsonCursor item in reader.List("curves", max: MostCurves) ?? [])
        {
            if (item.AsObject() is { } entry)
            {
                if (MeasuredEntry.Read(entry, folder: null) is { } curve)
                {
                    curves.Add(curve);
                }

                entry.Finish();
            }
        }

        JobDocument? job = reader.Optional("job") is { } at ? Taken(JobFile.ReadPosted(Bytes(at.Element), inventoryRoot), at.Pointer, faults) : null;
        IReadOnlyList<JsonCursor> builds = reader.List("builds", max: MostCurves) ?? [];
        if (builds.Count > 0 && !reader.Has("job"))
        {
            reader.At.Refuse("the key \"job\" beside \"builds\"", found: "builds without a job that judges them");
        }

        BuildEvaluation? evaluation = job is null || builds.Count == 0 ? null : new(job.Problem);
        MeasuredCurve[] measured = [.. curves];
        foreach (JsonCursor item in builds)
        {
            if (evaluation is not null && Taken(BuildFile.Read(Bytes(item.Element), FitFile.PostedName, job!.Inventory), item.Pointer, faults) is { } build)
            {
                curves.Add(Build(build, evaluation, FormattableString.Invariant($"build {build.Rank ?? curves.Count + 1}"), measured));
            }
        }

        if (curves.Count == 0 && faults.Count == 0)
        {
            reader.At.Refuse("at least one curve or build", found: "none");
        }

        reader.Finish();
        return new(job, curves);
    }

    private static byte[] Bytes(JsonElement element) => Encoding.UTF8.GetBytes(element.GetRawText());

    /// <summary>The value, or its faults where they stand in the whole document.</summary>
    private static T? Taken<T>(Reading<T> reading, string pointer, FaultList faults)
        where T : class
    {
        foreach (Fault fault in reading.Faults)
        {
            faults.Add(fault.File == FitFile.PostedName ? fault with { Pointer = pointer + fault.Pointer } : fault);
        }

        return reading.Value;
    }
}
