using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// Reads the measurements/1 file: measured curves of one receiver, the load and drive of each, what is known or assumed of the receiver, and the
/// noise. Curves stand in files beside it ("file"), or as text in it ("csv", "wavBase64").
/// </summary>
public static class FitFile
{
    /// <summary>The format it bears.</summary>
    public const string Format = "measurements/1";

    /// <summary>The name faults bear when the measurements were posted.</summary>
    public const string PostedName = JobFile.PostedName;

    /// <summary>Most curves.</summary>
    public const int MostCurves = 12;

    private static readonly (string Word, LoadEnd End)[] Ends =
        [("blocked", LoadEnd.Blocked), ("open", LoadEnd.Open), ("cavity", LoadEnd.Cavity), ("ear-simulator", LoadEnd.EarSimulator)];

    /// <summary>Reads a file; every fault at once, those of the curves it names included.</summary>
    public static Reading<FitDocument> Read(string path)
    {
        FaultList faults = new();
        ObjectReader? reader = JsonSource.Open(path, faults)?.AsObject();
        return faults.End(reader is null ? null : Document(reader, Path.GetDirectoryName(Path.GetFullPath(path))));
    }

    /// <summary>Reads measurements that came another way; their curves must stand in them.</summary>
    public static Reading<FitDocument> ReadPosted(ReadOnlyMemory<byte> json)
    {
        FaultList faults = new();
        ObjectReader? reader = JsonSource.Parse(PostedName, json, faults)?.AsObject();
        return faults.End(reader is null ? null : Document(reader, folder: null));
    }

    private static FitDocument? Document(ObjectReader reader, string? folder)
    {
        if (reader.Format(Format) is null)
        {
            return null;
        }

        ObjectReader? noise = reader.Object("noise");
        MeasurementNoise stated = new(
            noise?.Number("levelDb", NumberRange.Positive(10, "dB")) ?? 0.2,
            noise?.Number("phaseDeg", NumberRange.Positive(90, "°")) ?? 1,
            noise?.Number("impedancePercent", NumberRange.Positive(50, "%")) ?? 0.5);
        noise?.Finish();
        Air air = Air.At(reader.Number("airTempC", new(10, 40, "°C")) ?? JobDefaults.AirTempC);
        (double Low, double High) band = (20, 20_000);
        if (reader.List("bandHz", 2, 2) is { } edges)
        {
            band = (edges[0].AsNumber(new(1, 100_000, "Hz")) ?? 20, edges[1].AsNumber(new(1, 100_000, "Hz")) ?? 20_000);
            if (band.High < 2 * band.Low)
            {
                reader.Optional("bandHz")!.Refuse("two frequencies, Hz, the second at least twice the first");
            }
        }

        IReadOnlyDictionary<int, double> known = Values(reader.Object("known")), assumed = Values(reader.Object("assumed"));
        foreach (int both in known.Keys.Intersect(assumed.Keys))
        {
            reader.Optional("assumed")!.Refuse("each value once, known or assumed", found: $"{ReceiverParameter.All[both].Name} in both");
        }

        List<ReceiverMeasurement> measurements = [.. (reader.RequiredList("curves", 1, MostCurves) ?? []).Select(item => Measurement(item, folder)).OfType<ReceiverMeasurement>()];
        FitDocument document = new(
            new()
            {
                PartNumber = reader.RequiredText("partNumber", 80),
                Measurements = measurements,
                Noise = stated,
                Known = known,
                Assumed = assumed,
                Air = air,
                BandHz = band,
                Seed = (ulong)(reader.Whole("seed", 0, 1L << 53) ?? 1),
            },
            reader.Text("maker") ?? "",
            reader.Text("description", 500) ?? "",
            [.. (reader.List("tags", max: 50) ?? []).Select(tag => tag.AsText(50)).OfType<string>().Distinct()]);
        Enough(document.Problem, reader.At);
        reader.Finish();
        return document;
    }

    /// <summary>What is given, by its name in receiver/1.</summary>
    private static Dictionary<int, double> Values(ObjectReader? reader)
    {
        Dictionary<int, double> values = [];
        for (int p = 0; reader is not null && p < ReceiverParameter.All.Count; p++)
        {
            ReceiverParameter parameter = ReceiverParameter.All[p];
            if (reader.Number(parameter.Name, new(Tidy(parameter.Lowest / parameter.Scale), Tidy(parameter.Highest / parameter.Scale), parameter.Unit)) is { } value)
            {
                values[p] = value * parameter.Scale;
            }
        }

        reader?.Finish();
        return values;
    }

    private static double Tidy(double value) => Math.Round(value, 9);

    private static void Enough(ReceiverFitProblem problem, JsonCursor at)
    {
        if (at.Faults.Count > 0)
        {
            return;
        }

        int inBand = problem.Measurements.Sum(one => one.Curve.Hz.Count(f => f >= problem.BandHz.Low && f <= problem.BandHz.High));
        if (problem.Free.Length == 0 || inBand < 4 * problem.Free.Length)
        {
            at.Refuse(
                FormattableString.Invariant($"measured values at {4 * problem.Free.Length} frequencies or more for {problem.Free.Length} unknown parameters"),
                found: problem.Free.Length == 0 ? "nothing to fit: every parameter is given" : FormattableString.Invariant($"{inBand} in {problem.BandHz.Low} to {problem.BandHz.High} Hz"));
        }
    }

    private static ReceiverMeasurement? Measurement(JsonCursor item, string? folder)
    {
        if (item.AsObject() is not { } reader)
        {
            return null;
        }

        MeasuredCurve? curve = MeasuredEntry.Read(reader, folder);
        AcousticLoad? load = Load(reader.RequiredObject("load"));
        double millivolt = reader.Number("driveMillivoltRms", NumberRange.Positive(10_000, "mV")) ?? JobDefaults.MillivoltRms;
        double ohm = reader.Number("sourceOhm", NumberRange.NotNegative(1000, "Ω")) ?? 0;
        bool delay = reader.Optional("delayUnknown")?.AsFlag() ?? (curve?.PhaseOriginS > 0);
        reader.Finish();
        if (curve is not null && load is { End: LoadEnd.Open } && curve.ImpedanceOhm is null)
        {
            item.Refuse("an impedance with an open load", "There is no microphone in free air.", "a level only");
        }

        return curve is null || load is null ? null : new()
        {
            Curve = curve,
            Load = load,
            DriveVoltage = Units.FromMillivolt(millivolt),
            SourceResistance = ohm,
            DelayUnknown = delay,
        };
    }

    private static AcousticLoad? Load(ObjectReader? reader)
    {
        if (reader is null)
        {
            return null;
        }

        string words = string.Join(", ", Ends.Select(end => end.Word));
        LoadEnd end = reader.Required("end", "one of " + words)?.AsChoice(Ends) ?? LoadEnd.Blocked;
        double damper = reader.Number("damperOhmCgs", NumberRange.NotNegative(1e6, "cgs ohm")) ?? 0;
        List<TubeSegment> tube = [];
        foreach (JsonCursor piece in reader.List("tube", max: 20) ?? [])
        {
            if (piece.AsObject() is { } segment)
            {
                tube.Add(new(
                    Units.FromMm(segment.RequiredNumber("lengthMm", NumberRange.Positive(2000, "mm"))), Units.FromMm(segment.RequiredNumber("boreMm", new(0.2, 20, "mm")))));
                segment.Finish();
            }
        }

        double volume = end == LoadEnd.Cavity ? reader.RequiredNumber("cavityMm3", NumberRange.Positive(1e6, "mm³")) : 0;
        int set = end == LoadEnd.EarSimulator ? reader.Choice("elements", [.. EarSimulator.Sets.Select((one, k) => (one.Name, k))]) ?? 0 : 0;
        reader.Finish();
        return new() { End = end, DamperResistance = Units.FromOhmCgs(damper), Tube = tube, CavityVolume = Units.FromMm3(volume), Simulator = EarSimulator.Sets[set] };
    }
}
