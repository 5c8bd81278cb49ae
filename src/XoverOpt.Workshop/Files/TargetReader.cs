using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>Reads what a job asks for: target curve, level and phase.</summary>
internal static class TargetReader
{
    /// <summary>What a band's edges may be, Hz; the grid reaches well beyond, which the minimum phase needs.</summary>
    public static readonly NumberRange BandEdge = new(10, 20_000, "Hz");

    private static readonly NumberRange PointHz = new(1, 100_000, "Hz");
    private static readonly NumberRange Level = new(-200, 200, "dB");
    private static readonly NumberRange Weight = NumberRange.NotNegative(1000);

    /// <summary>Reads "target".</summary>
    /// <param name="reader">The target object.</param>
    /// <param name="folder">Where a curve file is looked for; null where files may not be named.</param>
    public static Target? Read(ObjectReader reader, string? folder)
    {
        (double low, double high) = Band(reader, "bandHz", 2) ?? JobDefaults.TargetBandHz;
        double tolerance = reader.Number("toleranceDb", NumberRange.Positive(40, "dB")) ?? JobDefaults.ToleranceDb;

        LevelKind kind = LevelKind.Relative;
        (double Low, double High) levelBand = Within(JobDefaults.LevelBandHz, (low, high), 1.125);
        if (reader.Object("level") is { } level)
        {
            kind = level.Choice("kind", [("relative", LevelKind.Relative), ("absolute", LevelKind.Absolute)]) ?? kind;
            levelBand = Band(level, "bandHz", 1.125) ?? levelBand;
            level.Finish();
        }

        (LogCurve? curve, LogCurve? weights) = ReadCurves(reader, folder);
        if (weights is not null)
        {
            JsonCursor at = reader.Optional("weights") ?? reader.Optional("file") ?? reader.At;
            RequireWeight(at, weights, low, high, "target band");
            RequireWeight(at, weights, levelBand.Low, levelBand.High, "level band");
        }

        reader.Finish();
        return curve is null ? null
            : new Target(curve, weights ?? LogCurve.Flat(1), low, high, tolerance, kind, levelBand.Low, levelBand.High);
    }

    /// <summary>Reads "phase"; the defaults where it is left out.</summary>
    public static PhaseGoal ReadPhase(ObjectReader? reader, Target? target)
    {
        (double, double) within = target is null ? JobDefaults.TargetBandHz : (target.BandLowHz, target.BandHighHz);
        (double low, double high) = Within(JobDefaults.PhaseBandHz, within, 2);
        PhaseKind kind = reader?.Choice("kind", [("excess", PhaseKind.Excess), ("delay-removed", PhaseKind.DelayRemoved)]) ?? PhaseKind.Excess;
        (low, high) = (reader is null ? null : Band(reader, "bandHz", 2)) ?? (low, high);
        double limit = reader?.Number("limitDeg", NumberRange.Positive(180, "°")) ?? JobDefaults.PhaseLimitDeg;
        double arrival = reader?.Number("arrivalLimitUs", NumberRange.Positive(100_000, "µs")) ?? JobDefaults.ArrivalLimitUs;
        reader?.Finish();
        return new PhaseGoal(kind, low, high, limit, Units.FromUs(arrival));
    }

    /// <summary>Reads points that must rise in frequency.</summary>
    public static LogCurve? ReadPoints(IReadOnlyList<JsonCursor>? points, string key, NumberRange range)
    {
        List<double> hz = [], values = [];
        foreach (JsonCursor point in points ?? [])
        {
            if (point.AsObject($"an object such as {{ \"hz\": 1000, \"{key}\": 0 }}") is not { } reader)
            {
                continue;
            }

            double f = reader.RequiredNumber("hz", PointHz);
            if (hz.Count > 0 && !CurveFile.Rises(hz[^1], f) && double.IsFinite(f))
            {
                reader.Optional("hz")!.Refuse(
                    FormattableString.Invariant($"a frequency above {hz[^1]} Hz, that of the point before"),
                    "Points run from low to high frequency, each frequency once.");
            }

            values.Add(reader.RequiredNumber(key, range));
            hz.Add(f);
            reader.Finish();
        }

        bool rises = hz.Zip(hz.Skip(1)).All(pair => CurveFile.Rises(pair.First, pair.Second));
        return hz.Count > 0 && rises && values.All(double.IsFinite) && hz.All(double.IsFinite) ? new LogCurve(hz, values) : null;
    }

    private static (LogCurve? Curve, LogCurve? Weights) ReadCurves(ObjectReader reader, string? folder)
    {
        LogCurve? weights = ReadPoints(reader.List("weights", 1, 10_000), "weight", Weight);
        JsonCursor? file = reader.Optional("file");
        if (file is null)
        {
            return (ReadPoints(reader.RequiredList("points", 1, 10_000), "db", Level), weights);
        }

        if (reader.Has("points"))
        {
            file.Refuse("either \"points\" or \"file\"", "Remove one of the two.", "both");
            return (null, weights);
        }

        if (folder is null)
        {
            file.Refuse("\"points\" in the job itself", "A job that is sent has no folder to take a file from.");
            return (null, weights);
        }

        if (file.AsText(1000) is not { } name || CurveFile.Read(Path.Combine(folder, name), name, file.Faults) is not { } read)
        {
            return (null, weights);
        }

        if (weights is not null && read.Weights is not null)
        {
            file.Refuse("weights in one place", "Remove \"weights\" or the third column of the file.", "weights in both the job and the file");
        }

        return (read.Curve, weights ?? read.Weights);
    }

    private static (double Low, double High)? Band(ObjectReader reader, string key, double leastRatio)
    {
        if (reader.Optional(key) is not { } at || at.AsList(2, 2, "a list of two frequencies, Hz, low then high,") is not { } edges)
        {
            return null;
        }

        double? low = edges[0].AsNumber(BandEdge), high = edges[1].AsNumber(BandEdge);
        if (low * leastRatio > high)
        {
            at.Refuse(FormattableString.Invariant($"an upper edge at least {leastRatio} times the lower one"));
        }

        return (low ?? double.NaN, high ?? double.NaN);
    }

    private static (double Low, double High) Within((double Low, double High) band, (double Low, double High) outer, double leastRatio)
    {
        (double low, double high) = (Math.Max(band.Low, outer.Low), Math.Min(band.High, outer.High));
        return low * leastRatio <= high ? (low, high) : outer;
    }

    private static void RequireWeight(JsonCursor at, LogCurve weights, double low, double high, string band)
    {
        const int Steps = 240;
        if (low < high && !Enumerable.Range(0, Steps + 1).Any(k => weights.At(low * Math.Pow(high / low, (double)k / Steps)) > 0))
        {
            at.Refuse($"a weight above 0 somewhere in the {band}", found: "weights of 0 throughout it");
        }
    }
}
