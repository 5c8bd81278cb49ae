using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

/// <summary>Problems small enough to search in a moment. The receivers are of the invented demo drawer, rounded.</summary>
internal static class SmallProblem
{
    public static readonly Ear Ear = new(EarSimulator.RefitDamped, 0, 7.5e-3, null, Air.At());

    public static readonly StockReceiver Low1 = Stock("low-1", 62, 4.5e-3, 1.6, 1.5, 2.6e-6, 1.8e-3, 6.3e-3, 9e-6, 120e-9, 16e-9, 1.8e-3, 1.3e-3, 22e-6, 14e-3, (7.2, 3.9, 2.9), 8.4m, 140);

    public static readonly StockReceiver Low3 = Stock("low-3", 14, 1.1e-3, 0.36, 0.88, 4.2e-6, 1.4e-3, 9.1e-3, 13e-6, 220e-9, 25e-9, 2e-3, 1.4e-3, 25e-6, 34e-3, (8.9, 4.3, 3.8), 10.6m, 36);

    public static readonly StockReceiver Mid1 = Stock("mid-1", 33, 2.1e-3, 0.79, 0.78, 0.9e-6, 3.3e-3, 2.8e-3, 5.5e-6, 55e-9, 8e-9, 1.2e-3, 1.3e-3, 14e-6, 14e-3, (5.6, 2.8, 2.2), 7.6m, 180);

    public static readonly StockReceiver High1 = Stock("high-1", 20, 0.64e-3, 0.32, 0.52, 0.26e-6, 2.3e-3, 2.1e-3, 4.5e-6, 24e-9, 4.5e-9, 0.8e-3, 1.4e-3, 6e-6, 16e-3, (5.0, 2.7, 1.9), 9.2m, 150);

    public static readonly StockReceiver High2 = Stock("high-2", 34, 1.2e-3, 0.54, 0.78, 0.4e-6, 2e-3, 2.8e-3, 5.5e-6, 36e-9, 5.5e-9, 0.9e-3, 1.5e-3, 8e-6, 13e-3, (5.4, 2.8, 2.2), 9.6m, 8);

    public static readonly SectionShape SeriesResistor = new(SectionPlace.Series, true, false, false);

    public static readonly SectionShape SeriesCapacitor = new(SectionPlace.Series, false, true, false);

    public static readonly SectionShape SeriesCoil = new(SectionPlace.Series, false, false, true);

    public static readonly SectionShape ShuntCapacitor = new(SectionPlace.Shunt, false, true, false);

    public static readonly SectionShape ShuntResistorCapacitor = new(SectionPlace.Shunt, true, true, false);

    /// <summary>Two ways: 8 layouts of the low way, 8 of the high way.</summary>
    public static Problem TwoWay(long evaluations = 20_000, ulong seed = 1, int keep = 6) => new()
    {
        Name = "two ways",
        Target = new(new LogCurve([20, 50, 160, 1000, 2800, 8000, 16000], [6, 6, 0, 1, 8, 2, -4]), LogCurve.Flat(1), 20, 16000, 6, LevelKind.Relative, 200, 2000),
        Phase = new(PhaseKind.Excess, 20, 12000, 30, 30e-6),
        Source = new(0.1, 1),
        Ear = Ear,
        Ways =
        [
            Way("low", [Low1, Low3], [1, 2], [Wiring.Parallel], [Polarity.Normal], [new([SeriesResistor, ShuntCapacitor]), new([SeriesResistor])], [1.5e-3]),
            Way("high", [High1, High2], [1], [Wiring.Parallel], [Polarity.Normal, Polarity.Inverted], [new([SeriesCapacitor])], [1.5e-3, 2e-3]),
        ],
        Limits = new(),
        Passives = new(
            Values("R", 0.02m, [3.3, 4.7, 6.8, 10, 15, 22, 33, 47, 68, 100, 150, 220]),
            Values("C", 0.05m, [0.1e-6, 0.22e-6, 0.47e-6, 1e-6, 2.2e-6, 4.7e-6, 10e-6, 22e-6, 47e-6], 0.2),
            Values("L", 0.9m, [0.1e-3, 0.22e-3, 0.47e-3, 1e-3, 2.2e-3, 4.7e-3], 0.8)),
        Cost = new(),
        Effort = new(evaluations, null, seed, keep),
    };

    /// <summary>Three ways, with every kind of part, wiring and polarity.</summary>
    public static Problem ThreeWay()
    {
        Problem two = TwoWay();
        NetworkShape rich = new([SeriesResistor, ShuntResistorCapacitor, SeriesCoil]);
        return two with
        {
            Name = "three ways",
            Ways =
            [
                Way("low", [Low1, Low3], [1, 2], [Wiring.Parallel, Wiring.Series], [Polarity.Normal, Polarity.Inverted], [rich, new([SeriesResistor, ShuntCapacitor])], [1e-3, 1.5e-3]),
                Way("mid", [Mid1], [1, 2], [Wiring.Parallel], [Polarity.Normal, Polarity.Inverted], [new([SeriesResistor, SeriesCapacitor]), new([])], [1.5e-3]),
                Way("high", [High1, High2], [1, 2], [Wiring.Parallel], [Polarity.Normal, Polarity.Inverted], [new([SeriesCapacitor])], [1.5e-3, 2e-3]),
            ],
        };
    }

    public static Candidate Random(ProblemTables tables, LayoutSpace space, Random64 random)
    {
        Layout layout = space.Draw(random) ?? throw new InvalidOperationException("No layout is allowed.");
        var candidate = new Candidate(tables, space, layout);
        candidate.SetAll([.. candidate.Ranges.Select(_ => 0.05 + (0.9 * random.NextDouble()))]);
        return candidate;
    }

    /// <summary>A random build of parts that can be bought or cut.</summary>
    public static Earpiece RandomBuild(ProblemTables tables, LayoutSpace space, Random64 random)
    {
        Candidate candidate = Random(tables, space, random);
        for (int q = 0; q < candidate.Ranges.Length; q++)
        {
            candidate.Hold(q, random.Below(candidate.Ranges[q].Choices.Count));
        }

        return candidate.ToEarpiece();
    }

    private static WayChoice Way(
        string name, StockReceiver[] receivers, int[] counts, Wiring[] wirings, Polarity[] polarities, NetworkShape[] networks, double[] bores) => new()
        {
            Name = name,
            Receivers = receivers,
            Counts = counts,
            Wirings = wirings,
            Polarities = polarities,
            Networks = networks,
            Bores = Values("T", 4m, bores),
            TubeMin = 8e-3,
            TubeMax = 20e-3,
            Dampers = [new(0, null, null, 0, null), .. Values("D", 0.6m, [330e5, 680e5, 1000e5, 1500e5, 2200e5])],
        };

    private static StockValue[] Values(string kind, decimal price, double[] values, double loss = 0) =>
        [.. values.Select((value, i) => new StockValue(value, $"{kind}{i}", null, loss, new Supply(price, "EUR", 1000, null, 1)))];

    private static StockReceiver Stock(
        string part, double ohm, double henry, double semi, double force, double mass, double compliance, double resistance, double area,
        double rear, double front, double spout, double bore, double travel, double current, (double L, double W, double H) bodyMm, decimal price, int stock) => new(
        new Receiver
        {
            PartNumber = part,
            DcResistance = ohm,
            Inductance = henry,
            SemiInductance = semi,
            ForceFactor = force,
            Mass = mass,
            Compliance = compliance,
            Resistance = resistance,
            DiaphragmArea = area,
            RearVolume = rear,
            FrontVolume = front,
            SpoutLength = spout,
            SpoutBore = bore,
            TravelLimit = travel,
            CurrentLimit = current,
        },
        "invented",
        part,
        [],
        new Body(bodyMm.L * 1e-3, bodyMm.W * 1e-3, bodyMm.H * 1e-3),
        null,
        new Supply(price, "EUR", stock, null, 1));
}
