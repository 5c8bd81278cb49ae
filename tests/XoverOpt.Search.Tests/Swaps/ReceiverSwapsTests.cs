using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search.Tests;

public class ReceiverSwapsTests
{
    private static readonly Problem Job = SmallProblem.TwoWay();
    private static readonly StockReceiver Twin = SmallProblem.Low1 with { Receiver = SmallProblem.Low1.Receiver with { PartNumber = "twin" } };

    private static readonly StockReceiver Worse = SmallProblem.Low1 with
    {
        Receiver = SmallProblem.Low1.Receiver with { PartNumber = "worse", Compliance = SmallProblem.Low1.Receiver.Compliance / 6, Resistance = SmallProblem.Low1.Receiver.Resistance * 4 },
    };

    [Fact]
    public void Swap_ForATwinOfAnotherName_CostsNoMoreAndAPlantedWorseOneRanksBelow()
    {
        Earpiece build = Build();
        ReceiverSwaps swaps = new(Job, build, "low-1", [SmallProblem.Low1, Worse, Twin, SmallProblem.Low3]);

        SwapCandidate twin = swaps.Candidates[0], worse = swaps.Candidates.Single(candidate => candidate.Receiver == Worse);
        SwapResult same = swaps.Swap(twin), less = swaps.Swap(worse);

        Assert.Equal((Twin, 1, 0.0, 0.0, true), (twin.Receiver, twin.Nearness, Math.Round(twin.Distance.ResponseDb, 6), Math.Round(twin.Distance.LevelDb, 9), twin.Distance.DropsIn));
        Assert.Equal(swaps.Original.Cost.Total, same.AsItIs.Cost.Total);
        Assert.Equal(swaps.Original.Figures.PartsCost, same.AsItIs.Figures.PartsCost);
        Assert.True(BuildRanking.Order.Compare(same.Build, same.AsItIs) <= 0);
        Assert.True(worse.Distance.ResponseDb > 0.1, $"{worse.Distance.ResponseDb} dB");
        Assert.True(BuildRanking.Order.Compare(same.Build, less.Build) < 0, $"{same.Build.Cost.Total} and {less.Build.Cost.Total}");
    }

    // What may change is what the class says: everything else of the build stays, and what changes is on the job's lists.
    [Fact]
    public void Swap_Any_KeepsTheRestOfTheLayoutAndIsOnTheLists()
    {
        Earpiece build = Build();
        SwapCandidate low3 = new ReceiverSwaps(Job, build, "low-1", [SmallProblem.Low3]).Candidates.Single();

        SwapResult swap = new ReceiverSwaps(Job, build, "low-1", [SmallProblem.Low3]).Swap(low3);

        Earpiece after = swap.Build.Earpiece;
        Assert.Equal(["low-3", build.Ways[1].Receiver.PartNumber], after.Ways.Select(way => way.Receiver.PartNumber));
        Assert.Equal(Kept(build), Kept(after));
        Assert.True(low3.Listed);
        Assert.NotNull(BuildLayout.Of(after, new ProblemTables(Job, 12), new LayoutSpace(Job)));
        Assert.Equal(new BuildEvaluation(Job).Judge(after).Cost, swap.Build.Cost);
        Assert.Equal(new BuildEvaluation(Job).Judge(after).Figures.PartsCost, swap.Build.Figures.PartsCost);
        Assert.True(swap.Build.Cost.Total < swap.AsItIs.Cost.Total);
    }

    [Fact]
    public void Swap_Twice_IsTheSameBitForBit()
    {
        Earpiece build = Build();
        SwapResult[] twice = [.. Enumerable.Range(0, 2).Select(_ => new ReceiverSwaps(Job, build, "low-1", [SmallProblem.Low3])).Select(swaps => swaps.Swap(swaps.Candidates[0]))];

        Assert.Equal((twice[0].Build.Key, twice[0].Build.Cost, twice[0].Evaluations), (twice[1].Build.Key, twice[1].Build.Cost, twice[1].Evaluations));
    }

    // Closed form: with T and S_d times a, and all of Z_m times a², each entry of the motor's chain matrix (see Receiver) stays as it is, though
    // no parameter does. What the build hears is the same.
    [Fact]
    public void Distance_OfOtherParametersWithTheSameChainMatrix_IsNone()
    {
        const double A = 0.8;
        Receiver one = SmallProblem.Low1.Receiver;
        Receiver alike = one with
        {
            PartNumber = "alike",
            ForceFactor = A * one.ForceFactor,
            Mass = A * A * one.Mass,
            Compliance = one.Compliance / (A * A),
            Resistance = A * A * one.Resistance,
            DiaphragmArea = A * one.DiaphragmArea,
        };
        SwapCandidate same = new ReceiverSwaps(Job, Build(), "low-1", [SmallProblem.Low1 with { Receiver = alike }]).Candidates.Single();

        Assert.Equal(0, same.Distance.ResponseDb, 1e-6);
        Assert.Equal(0, same.Distance.LevelDb, 1e-6);
        Assert.Equal(0, same.Distance.ImpedanceDb, 1e-6);
    }

    // Responses made up: a share at half the level and 5 µs later is the same but for level and delay.
    [Fact]
    public void Distance_OfAShareThatIsSofterAndLaterOnly_IsNoneAndTellsTheLevel()
    {
        double[] hz = [.. FrequencyGrid.Standard(12).Hz.Where(f => f is > 20 and < 16000)];
        System.Numerics.Complex[] share = [.. hz.Select(f => new System.Numerics.Complex(1, f / 1000))];
        System.Numerics.Complex[] later = [.. hz.Select((f, k) => 0.5 * share[k] * System.Numerics.Complex.FromPolarCoordinates(1, -2 * Math.PI * f * 5e-6))];
        System.Numerics.Complex[] ohms = [.. hz.Select(_ => new System.Numerics.Complex(10, 0))], doubled = [.. ohms.Select(z => 2 * z)];
        double[] weights = [.. hz.Select(_ => 1.0 / hz.Length)];

        var distance = ReceiverDistance.Of(
            new(hz, share, ohms, [new("low", share)]), new(hz, later, doubled, [new("low", later)]), weights, [0], SmallProblem.Low1, SmallProblem.Low3);

        Assert.Equal(0, distance.ResponseDb, 1e-6);
        Assert.Equal(20 * Math.Log10(0.5), distance.LevelDb, 1e-9);
        Assert.Equal(20 * Math.Log10(2), distance.ImpedanceDb, 1e-9);
        Assert.Equal((8.9 * 4.3 * 3.8) - (7.2 * 3.9 * 2.9), distance.BodyMm3!.Value, 1e-6);
        Assert.False(distance.DropsIn);
    }

    [Fact]
    public void Candidates_WithoutStock_ArePassedOverAndBySetsWhereStockDecides()
    {
        StockReceiver Held(string part, int? stock) => Twin with { Receiver = Twin.Receiver with { PartNumber = part }, Supply = stock is { } held ? new Supply(1, "EUR", held, null, 1) : null };
        StockReceiver[] drawer = [Held("none", 0), Held("few", 19), Held("enough", 20), Held("unknown", null)];
        Earpiece build = Build();
        Problem strict = Job with { Limits = new() { StockOnly = true, Sets = 10 } };
        int pieces = build.Ways[0].Count;

        string[] open = Parts(Job), held = Parts(strict with { Limits = strict.Limits with { Sets = 10 / pieces } });

        Assert.Equal(["enough", "few", "unknown"], open);
        Assert.Equal(["enough"], held);

        string[] Parts(Problem job) => [.. new ReceiverSwaps(job, build, "low-1", drawer).Candidates.Select(candidate => candidate.Receiver.Receiver.PartNumber)];
    }

    // Half the travel is 6.02 dB less peak where travel sets it: at low frequencies, where the low way works alone.
    [Fact]
    public void Candidates_ShortOfAPeakThatTheBuildReaches_ComeLast()
    {
        Earpiece build = Build();
        PeakHeadroom reach = new BuildEvaluation(Job).Judge(build).Figures.Headroom.Single(peak => peak.Hz == 50);
        Assert.Equal(("low", "armature travel"), (reach.Way, reach.Limit));
        Problem loud = Job with { Limits = new() { MinPeakSpl = [new(50, reach.Db - 2)] } };
        StockReceiver half = Twin with { Receiver = Twin.Receiver with { PartNumber = "half", TravelLimit = Twin.Receiver.TravelLimit / 2 } };
        StockReceiver silent = Twin with { Receiver = Twin.Receiver with { PartNumber = "silent", TravelLimit = null, CurrentLimit = null } };

        SwapCandidate[] candidates = [.. new ReceiverSwaps(loud, build, "low-1", [half, silent, SmallProblem.Low3, Twin]).Candidates];

        Assert.Equal("twin", candidates[0].Receiver.Receiver.PartNumber);
        Assert.Equal(0, candidates[0].PeakShortDb);
        Assert.Equal((20 * Math.Log10(2)) - 2, candidates.Single(candidate => candidate.Receiver == half).PeakShortDb, 0.05);
        Assert.Equal(["half", "silent"], candidates.Skip(2).Select(candidate => candidate.Receiver.Receiver.PartNumber));
        Assert.Equal(["half", "silent", "twin"], new ReceiverSwaps(Job, build, "low-1", [half, silent, SmallProblem.Low3, Twin]).Candidates.Take(3).Select(candidate => candidate.Receiver.Receiver.PartNumber));
    }

    [Fact]
    public void Obstacle_OtherWaysOrATubeOfTwoPieces_IsNamed()
    {
        Earpiece build = Build();
        Earpiece stepped = new([build.Ways[0] with { Tube = [.. build.Ways[0].Tube, .. build.Ways[0].Tube] }, build.Ways[1]]);

        Assert.Null(ReceiverSwaps.Obstacle(Job, build));
        Assert.Contains("low way is not of one piece", ReceiverSwaps.Obstacle(Job, stepped), StringComparison.Ordinal);
        Assert.Contains("low, those of the job low, high", ReceiverSwaps.Obstacle(Job, new([build.Ways[0]])), StringComparison.Ordinal);
    }

    private static IEnumerable<object> Kept(Earpiece build) => build.Ways.Select(way => (object)(
        way.Name, way.Count, way.Wiring, way.Polarity,
        string.Join(' ', way.Network.Select(section => $"{section.Place} {section.Resistance is null} {section.Capacitance is null} {section.Inductance is null}"))));

    /// <summary>A random build with low-1 that a short descent and snap made decent: something a search could have found.</summary>
    private static Earpiece Build()
    {
        var space = new LayoutSpace(Job);
        var random = new Random64(3);
        var runner = new TrialRunner(Job, space);
        Layout layout;
        do
        {
            layout = space.Draw(random)!;
        }
        while (Job.Ways[0].Receivers[space.Option(layout, 0).Receiver] != SmallProblem.Low1);

        TrialResult ideal = runner.Run(new(layout, null, 1, new(12, 6, 16, 0, 60)));
        TrialResult made = runner.Run(new(layout, ideal.Unit, 1, new(24, 0, 0, 0, 12, SnapWidth: TrialRunner.QuickWidth)));
        var candidate = new Candidate(runner.Tables(24), space, layout);
        for (int q = 0; q < made.Choices!.Length; q++)
        {
            candidate.Hold(q, made.Choices[q]);
        }

        return candidate.ToEarpiece();
    }
}
