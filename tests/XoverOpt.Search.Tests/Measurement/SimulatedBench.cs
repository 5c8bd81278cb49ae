using System.Numerics;
using System.Text.Json;
using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

/// <summary>A bench that measures receivers of the drawer, worked out by <see cref="PlainResponse"/>, which no fit uses, with noise on top.</summary>
internal static class SimulatedBench
{
    public static readonly Air Air = Air.At();

    public static readonly MeasurementNoise Noise = new(LevelDb: 0.2, PhaseDeg: 1, ImpedancePercent: 0.5);

    /// <summary>40 points a decade from 20 Hz to 20 kHz.</summary>
    public static readonly double[] Hz = [.. Enumerable.Range(0, 121).Select(k => 20 * Math.Pow(1000, k / 120.0))];

    /// <summary>12 mm of 1.5 mm tube ending at the microphone's wall.</summary>
    public static readonly AcousticLoad ShortTube = new() { End = LoadEnd.Blocked, Tube = [new(0.012, 0.0015)] };

    /// <summary>10 mm of 2 mm tube into 2 cm³.</summary>
    public static readonly AcousticLoad Coupler = new() { End = LoadEnd.Cavity, CavityVolume = 2e-6, Tube = [new(0.010, 0.002)] };

    /// <summary>15 mm of 1.5 mm tube into the ear simulator.</summary>
    public static readonly AcousticLoad EarTube = new() { End = LoadEnd.EarSimulator, Tube = [new(0.015, 0.0015)] };

    public static IReadOnlyList<Receiver> Drawer()
    {
        string folder = AppContext.BaseDirectory;
        while (!Directory.Exists(Path.Combine(folder, "driverlib")))
        {
            folder = Path.GetDirectoryName(folder)!;
        }

        return [.. Directory.GetFiles(Path.Combine(folder, "driverlib"), "receivers-*.json").Order(StringComparer.Ordinal)
            .SelectMany(file => JsonDocument.Parse(File.ReadAllBytes(file)).RootElement.EnumerateArray().ToArray()).Select(Read)];
    }

    public static Complex[] Pressure(Receiver receiver, AcousticLoad load, double volt, double ohm) => Responses(receiver, load, volt, ohm, Hz, (p, _) => p);

    public static Complex[] Responses(Receiver receiver, AcousticLoad load, double volt, double ohm, double[] hz, Func<Complex, Complex, Complex> pick, double canal = 0)
    {
        Earpiece one = new([new Way("one", receiver, 1, Wiring.Parallel, Polarity.Normal, [], load.DamperResistance, load.Tube)]);
        Ear ear = new(Simulator(load), canal, 0.0075, null, Air);
        return [.. hz.Select(f => PlainResponse.At(one, ear, new Source(volt, ohm), 2 * Math.PI * f)).Select(at => pick(at.DrumPressure, at.SocketImpedance))];
    }

    public static ReceiverMeasurement Measure(Receiver receiver, AcousticLoad load, string name, Random64 random, bool level = true, bool impedance = true, double volt = 0.1, double ohm = 1)
    {
        Complex[] p = Pressure(receiver, load, volt, ohm), z = Responses(receiver, load, volt, 0, Hz, (_, z) => z);
        return new()
        {
            Load = load,
            DriveVoltage = volt,
            SourceResistance = ohm,
            Curve = new MeasuredCurve
            {
                Name = name,
                Hz = Hz,
                IsSpl = true,
                LevelDb = level ? [.. p.Select(at => (20 * Math.Log10(at.Magnitude / 20e-6)) + (Noise.LevelDb * random.NextNormal()))] : null,
                PhaseDeg = level ? [.. p.Select(at => (at.Phase * 180 / Math.PI) + (Noise.PhaseDeg * random.NextNormal()))] : null,
                ImpedanceOhm = impedance ? [.. z.Select(at => at.Magnitude * (1 + (Noise.ImpedancePercent / 100 * random.NextNormal())))] : null,
                ImpedancePhaseDeg = impedance ? [.. z.Select(at => (at.Phase * 180 / Math.PI) + (Noise.PhaseDeg * random.NextNormal()))] : null,
            },
        };
    }

    /// <summary>A simulator that is only a volume, or (almost) nothing for a wall.</summary>
    private static EarSimulator Simulator(AcousticLoad load) => load.End switch
    {
        LoadEnd.EarSimulator => load.Simulator,
        LoadEnd.Cavity => Nothing with { C5 = load.CavityVolume / Air.BulkModulus },
        LoadEnd.Blocked => Nothing,
        _ => throw new ArgumentException("No microphone.", nameof(load)),
    };

    private static readonly EarSimulator Nothing = new("nothing", 0, 0, 0, 0, 1, 1e-40, 0, 0, 0, 0, 1, 1e-40, 0, 0, 0);

    private static Receiver Read(JsonElement item)
    {
        double Number(string part, string key) => item.GetProperty(part).GetProperty(key).GetDouble();
        double? Maybe(string part, string key) => item.GetProperty(part).TryGetProperty(key, out JsonElement value) ? value.GetDouble() : null;
        return new()
        {
            PartNumber = item.GetProperty("partNumber").GetString()!,
            DcResistance = Number("electrical", "dcResistanceOhm"),
            Inductance = Maybe("electrical", "inductanceMh") * 1e-3,
            SemiInductance = Maybe("electrical", "semiInductance"),
            ForceFactor = Number("motor", "forceFactorNPerA"),
            Mass = Number("mechanical", "massMg") * 1e-6,
            Compliance = Number("mechanical", "complianceMmPerN") * 1e-3,
            Resistance = Number("mechanical", "resistanceNsPerM"),
            DiaphragmArea = Number("acoustical", "diaphragmMm2") * 1e-6,
            RearVolume = Number("acoustical", "rearVolumeMm3") * 1e-9,
            FrontVolume = Number("acoustical", "frontVolumeMm3") * 1e-9,
            SpoutLength = Number("acoustical", "spoutLengthMm") * 1e-3,
            SpoutBore = Number("acoustical", "spoutBoreMm") * 1e-3,
        };
    }
}
