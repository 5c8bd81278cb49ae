using FsCheck.Xunit;

namespace XoverOpt.Search.Tests;

/// <summary>Trade-off fronts: checked against the definition of dominance itself, pair by pair.</summary>
public class TradeOffFrontsTests
{
    private static readonly RankedBuild Template = BuildRankingTests.Made(true, 1, 0, 5, "template");

    // Coordinates from a handful of values, so that ties and doubles are common.
    [Property]
    public bool NonDominated_AnyPoints_AreThoseThatNoOtherDominates(ulong seed)
    {
        var random = new Random64(seed);
        double[] values = [0, 1, 1.5, 2, 3, double.NaN, double.PositiveInfinity];
        (double X, double Y)[] points = [.. Enumerable.Range(0, random.Below(20)).Select(_ => (values[random.Below(values.Length)], values[random.Below(values.Length)]))];

        IReadOnlyList<int> front = TradeOffFronts.NonDominated(points);

        bool Finite(int i) => double.IsFinite(points[i].X) && double.IsFinite(points[i].Y);
        bool Dominates(int a, int b) => points[a].X <= points[b].X && points[a].Y <= points[b].Y && (points[a].X < points[b].X || points[a].Y < points[b].Y);
        int[] all = [.. Enumerable.Range(0, points.Length).Where(Finite)];
        return front.SequenceEqual(front.Order())
            && front.All(Finite)
            && front.All(member => !all.Any(other => Dominates(other, member)))
            && all.Except(front).All(left => front.Any(member => Dominates(member, left)));
    }

    [Fact]
    public void Of_BuildsWithTradeOffs_NamesTheRanksOnEachFront()
    {
        RankedBuild[] builds =
        [
            Made(1, 1.0, price: 50, receivers: 4, spl: 100, rms: 0.5, phase: 9),
            Made(2, 2.0, price: 40, receivers: 4, spl: 106, rms: 0.7, phase: 5),
            Made(3, 3.0, price: 45, receivers: 2, spl: 103, rms: 0.9, phase: 6),
            Made(4, 4.0, price: null, receivers: 2, spl: 112, rms: 1.2, phase: 2),
            Made(5, 0.5, price: 1, receivers: 1, spl: 130, rms: 0.1, phase: 1) with { Feasible = false },
        ];

        IReadOnlyList<TradeOffFront> fronts = TradeOffFronts.Of(builds);

        Assert.Equal(["magnitude and phase", "price", "receivers", "sensitivity"], fronts.Select(front => front.Name));
        Assert.Equal([("magnitudeRmsDb", "phaseMaxDeg"), ("cost", "partsCost"), ("cost", "receivers"), ("cost", "splAt100mV")], fronts.Select(front => (front.X, front.Y)));
        Assert.Equal([1, 2, 4], fronts[0].Ranks);
        Assert.Equal([1, 2], fronts[1].Ranks);
        Assert.Equal([1, 3], fronts[2].Ranks);
        Assert.Equal([1, 2, 4], fronts[3].Ranks);
    }

    [Fact]
    public void Of_BuildsAllWithoutPhase_TradesMagnitudeAgainstArrival()
    {
        RankedBuild first = Made(1, 1, 1, 1, 100, 0.5, 0.2), second = Made(2, 2, 1, 1, 100, 0.6, 0.9);
        TradeOffFront front = TradeOffFronts.Of([first, second with { Figures = second.Figures with { ArrivalSpreadUs = first.Figures.ArrivalSpreadUs / 2 } }])[0];

        Assert.Equal(("magnitude and arrival", "arrivalSpreadUs"), (front.Name, front.Y));
        Assert.Equal([1, 2], front.Ranks);
    }

    [Fact]
    public void Of_NothingThatFits_HasEmptyFronts() =>
        Assert.All(TradeOffFronts.Of([Made(1, 1, 1, 1, 1, 1, 1) with { Feasible = false }]), front => Assert.Empty(front.Ranks));

    [Fact]
    public void Rank_CheapBuildFurtherDown_TakesThePlaceOfTheLastThatTradesNothing()
    {
        RankedBuild[] dear = [.. Enumerable.Range(1, 6).Select(i => Family(Made(0, i, 50 + i, 4, 100, i, i), i))];
        RankedBuild[] further = [Family(Made(0, 8, 20, 4, 100, 8, 8), 8), Family(Made(0, 9, 30, 4, 100, 9, 9), 9)];

        IReadOnlyList<RankedBuild> ranked = BuildRanking.Rank([.. further, .. dear], 6);

        // 30 is no trade against 20 at lower cost, so one place is given, not two.
        Assert.Equal([1, 2, 3, 4, 5, 8], ranked.Select(build => build.Cost.Total));
        Assert.Equal(ranked, ranked.Order(BuildRanking.Order));
    }

    [Property]
    public bool Rank_AnyBuilds_GivesAtMostAThirdAndNeverTheBest(ulong seed)
    {
        var random = new Random64(seed);
        RankedBuild[] builds = [.. Enumerable.Range(0, 40).Select(i => Family(
            Made(0, random.Below(30), random.Below(20), 1 + random.Below(6), 90 + random.Below(30), random.NextDouble(), 10 * random.NextDouble())
                with { Feasible = random.Below(4) > 0, Key = $"k{i}" },
            i))];
        int keep = 2 + random.Below(12);

        RankedBuild[] byOrder = [.. builds.Order(BuildRanking.Order)];
        IReadOnlyList<RankedBuild> ranked = BuildRanking.Rank(builds, keep);
        string[] further = [.. ranked.Select(build => build.Key).Except(byOrder.Take(keep).Select(build => build.Key))];
        int[] fronts = [.. TradeOffFronts.Of([.. byOrder.Select((build, i) => build with { Rank = i })]).SelectMany(front => front.Ranks)];

        return ranked.Count == keep
            && ranked[0].Key == byOrder[0].Key
            && further.Length <= keep / 3
            && further.All(key => fronts.Contains(Array.FindIndex(byOrder, build => build.Key == key)))
            && ranked.SequenceEqual(ranked.Order(BuildRanking.Order));
    }

    private static RankedBuild Family(RankedBuild build, int number) => build with
    {
        Earpiece = new([build.Earpiece.Ways[0] with { Count = number + 1 }, build.Earpiece.Ways[1]]),
    };

    private static RankedBuild Made(int rank, double cost, decimal? price, int receivers, double spl, double rms, double phase) => Template with
    {
        Rank = rank,
        Cost = Template.Cost with { Total = cost },
        Key = FormattableString.Invariant($"{cost} {price} {receivers}"),
        Figures = Template.Figures with { PartsCost = price, Receivers = receivers, SplAt100mV = spl, MagnitudeRmsDb = rms, PhaseMaxDeg = phase },
    };
}
