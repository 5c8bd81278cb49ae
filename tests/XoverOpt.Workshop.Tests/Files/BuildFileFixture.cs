using System.Numerics;
using System.Text;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests;

/// <summary>A small invented problem and builds of it, for the tests of build and result files.</summary>
internal static class BuildFileFixture
{
    public static readonly Receiver Low = ReceiverOf("OS-L2", 38);
    public static readonly Receiver High = ReceiverOf("OS-H1", 24);

    public static Problem TwoWay { get; } = new()
    {
        Name = "Prüfling ½ <two-way>",
        Target = new Target(LogCurve.Flat(0), LogCurve.Flat(1), 20, 16000, 2.5, LevelKind.Relative, 200, 2000),
        Phase = new PhaseGoal(PhaseKind.Excess, 20, 12000, 10, 10e-6),
        Source = new Source(0.1, 1),
        Ear = new Ear(EarSimulator.RefitDamped, 0, 7.5e-3, null, Air.At(23)),
        Ways = [WayOf("low", Low), WayOf("high", High)],
        Limits = new Limits(),
        Passives = new PassiveStock(
            [Stock(43, "OS-R43")],
            [Stock(Units.FromMicrofarad(2.2), "OS-C22", 0.2), Stock(Units.FromMicrofarad(4.7), null)],
            [Stock(Units.FromMillihenry(0.33), "OS-K03", 1.5)]),
        Cost = new CostWeights(),
        Effort = new Effort(1000, null, ulong.MaxValue, 5),
        JobHash = new string('a', 64),
        InventoryHash = new string('b', 64),
    };

    public static Earpiece Sample { get; } = new(
    [
        new Way("low", Low, 2, Wiring.Series, Polarity.Normal,
            [
                new NetworkSection(SectionPlace.Series, Resistance: 43),
                new NetworkSection(SectionPlace.Shunt, Resistance: 5.6, Capacitance: Units.FromMicrofarad(2.2), CapacitorEsr: 0.2),
                new NetworkSection(SectionPlace.Series, Resistance: 10, Inductance: Units.FromMillihenry(0.33), CoilDcr: 1.5),
            ],
            Units.FromOhmCgs(1500),
            [new TubeSegment(Units.FromMm(21.5), Units.FromMm(1.3)), new TubeSegment(Units.FromMm(4), Units.FromMm(2))]),
        new Way("high", High, 1, Wiring.Parallel, Polarity.Inverted,
            [new NetworkSection(SectionPlace.Series, Capacitance: Units.FromMicrofarad(4.7), Inductance: Units.FromMillihenry(0.1))],
            0,
            [new TubeSegment(Units.FromMm(8), Units.FromMm(1.5))]),
    ]);

    public static BuildFigures Figures { get; } = new()
    {
        MagnitudeRmsDb = 0.62,
        MagnitudeMaxDb = 1.9,
        PhaseRmsDeg = 3.1,
        PhaseMaxDeg = 9.7,
        ArrivalSpreadUs = 6.4,
        ArrivalUs = [31.25, 37.65],
        SummingLossDb = 0.8,
        SplAt100mV = 107.1,
        SplAt100mV1kHz = 106.5,
        SplAt1mW = 111.25,
        SplAt1mW1kHz = 110,
        ImpedanceMinOhm = 14.2,
        Impedance1kHzOhm = 17.75,
        SourceShiftDb = 0.4,
        Headroom = [new PeakHeadroom(50, 121.5, "low", "armature travel", 0.75)],
        PartsCost = 71.30m,
        UnpricedParts = 0,
        Receivers = 3,
        Parts = 11,
        BodyVolumeMm3 = 312.5,
    };

    public static RankedBuild Build { get; } = new(
        1, Sample, new CostBreakdown(0.8, 0.5, 0.25, 0.03, 0.02, 0), Figures, true, 0, [], 0.75, "low:OS-L2x2|high:OS-H1");

    /// <summary>Numbers with all their digits, some far from 1.</summary>
    public static EarpieceResponse Response { get; } = new(
        [20, 1000 / 3.0, 16000],
        [new(0.1 + 0.2, -1e-17), new(Math.PI, 1.0 / 3), new(-2.5e-300, 7e22)],
        [new(14.2, 0), new(17.75, -3.3), new(Math.E, 1e-5)],
        [
            new WayShare("low", [new(1.0 / 7, 2), new(-0.0, 5e-324), new(3, 4)]),
            new WayShare("high", [Complex.Zero, new(double.MaxValue, 1), new(9, 8)]),
        ]);

    public static string Text(RankedBuild? build = null) => BuildFile.Write(build ?? Build, TwoWay, Response, "0.1.0-test");

    public static Reading<BuildDocument> Read(string text) => BuildFile.Read(Encoding.UTF8.GetBytes(text), "b.json", TwoWay);

    /// <summary>Whether two doubles are one and the same, bit by bit.</summary>
    public static bool Same(double a, double b) => BitConverter.DoubleToInt64Bits(a) == BitConverter.DoubleToInt64Bits(b);

    public static StockValue Stock(double value, string? partNumber, double loss = 0) => new(value, partNumber, null, loss, null);

    private static WayChoice WayOf(string name, Receiver receiver) => new()
    {
        Name = name,
        Receivers = [new StockReceiver(receiver, "Ostrel (invented)", "", [name], null, null, null)],
        Counts = [1, 2],
        Wirings = [Wiring.Parallel, Wiring.Series],
        Polarities = [Polarity.Normal, Polarity.Inverted],
        Networks = [new NetworkShape([])],
        Bores = [Stock(Units.FromMm(1.3), "OS-T13"), Stock(Units.FromMm(1.5), "OS-T15")],
        TubeMin = Units.FromMm(8),
        TubeMax = Units.FromMm(30),
        Dampers = [Stock(0, null), Stock(Units.FromOhmCgs(1500), "OS-D15")],
    };

    private static Receiver ReceiverOf(string partNumber, double ohm) => new()
    {
        PartNumber = partNumber,
        DcResistance = ohm,
        ForceFactor = 1.4,
        Mass = 4e-6,
        Compliance = 1.4e-3,
        Resistance = 0.009,
        DiaphragmArea = 13e-6,
        RearVolume = 220e-9,
        FrontVolume = 25e-9,
        SpoutLength = 2e-3,
        SpoutBore = 1.4e-3,
    };
}
