using FsCheck;
using FsCheck.Xunit;
using XoverOpt.Acoustics;
using XoverOpt.Workshop.Purchasing;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Workshop.Tests;

public sealed class BenchPlanTests : IDisposable
{
    private readonly JobDesk _desk = new();

    public void Dispose() => _desk.Dispose();

    /// <summary>By hand. Builds A (2 of LO-1 a side) and B (1 of LO-1, 1 of HI-1 a side) from 120 of each.</summary>
    [Fact]
    public void Of_TwoBuildsThatShareAPart_IsTheSumDoneByHand()
    {
        BenchPlan plan = Plan(Wanted("A", 25, 1, ("LO-1", 2)), Wanted("B", 40, 1, ("LO-1", 1), ("HI-1", 1)));

        // LO-1: 4 × 25 + 2 × 40 = 180, 60 short, 6 packs of 10 at 9.80. By themselves A needs 100 and B 80: neither is short.
        PartsLine low = plan.Together.Lines.Single(line => line.Part == "LO-1");
        Assert.Equal((180m, 60m, 6, 588.00m), (low.Need, low.Shortage, low.Packs, low.OrderPrice));
        Assert.Equal(["A", "B"], low.Ways);
        PartConflict conflict = Assert.Single(plan.Conflicts);
        Assert.Equal(("LO-1", 120m, 180m), (conflict.Part, conflict.Available, conflict.Need));
        Assert.Equal([new PartClaim("A", 100), new PartClaim("B", 80)], conflict.Claims);
        Assert.Equal([25, 40], plan.Builds.Select(build => build.Alone.SetsToday!.Value));

        // A set of B costs 2 of LO-1, one of A 4: all 40 of B, and of A what 40 left make.
        Assert.Equal([10, 40], plan.Builds.Select(build => build.SetsToday));
        Assert.True(plan.Proven);
    }

    [Fact]
    public void Of_Priorities_DecideTheMix()
    {
        BenchPlan plan = Plan(Wanted("A", 25, 3, ("LO-1", 2)), Wanted("B", 40, 1, ("LO-1", 1), ("HI-1", 1)));

        // A set of A counts 3 for 4 pieces, one of B 1 for 2.
        Assert.Equal([25, 10], plan.Builds.Select(build => build.SetsToday));
    }

    [Fact]
    public void Of_Reservations_CountForThePlanOnlyWhereTheyAreItsOwn()
    {
        WantedBuild a = Wanted("A", 25, 1, ("LO-1", 2)), other = Wanted("C", 10, 1, ("LO-1", 3));
        StockDesk stock = new(_desk.Root, new ManualClock());
        Assert.Empty(stock.Reserve(other.Earpiece, "C", Order with { Sets = 10 }, "Anna", whatIsThere: false).Faults);

        Assert.Equal(60, Plan(a).Together.Lines.Single(line => line.Part == "LO-1").Available);
        Assert.Equal(120, Plan(a, other).Together.Lines.Single(line => line.Part == "LO-1").Available);
    }

    /// <summary>Small cases against every mix there is.</summary>
    [Property(MaxTest = 60)]
    public void Solve_SmallCases_IsTheBestOfEveryMix(byte[] numbers)
    {
        int at = 0;
        int Next(int below) => numbers.Length == 0 ? below / 2 : (numbers[at++ % numbers.Length] + (7 * at)) % below;
        MixBuild[] builds = [.. Enumerable.Range(0, 2 + Next(2)).Select(_ => new MixBuild(
            1 + Next(5), 1 + Next(4), new[] { "a", "b", "c" }.Where(_ => Next(3) > 0).ToDictionary(part => part, part => part == "c" ? 0.0105m * (1 + Next(5)) : 1 + Next(4))))];
        Dictionary<string, decimal> available = new() { ["a"] = Next(20), ["b"] = Next(20), ["c"] = 0.021m * Next(10) };

        MixOfSets mix = MixOfSets.Solve(builds, available);

        int[][] all = [.. Mixes(builds).Where(sets => Fits(builds, sets, available))];
        int best = all.Max(sets => Worth(builds, sets));
        Assert.True(mix.Proven);
        Assert.True(Fits(builds, [.. mix.Sets], available));
        Assert.Equal(best, Worth(builds, [.. mix.Sets]));

        // Among equals the one that makes most of what is named first, weighted by how early it is named.
        Assert.Equal(all.Where(sets => Worth(builds, sets) == best).Max(Early), Early([.. mix.Sets]));
    }

    /// <summary>Totals are sums of lines, in whole cents; packs cover the need and no pack is too many; nothing is negative.</summary>
    [Property(MaxTest = 40)]
    public bool Of_AnySets_AddsUp(PositiveInt first, PositiveInt second, PositiveInt count)
    {
        BenchPlan plan = Plan(Wanted("A", 1 + (first.Get % 300), 1, ("LO-1", 1 + (count.Get % 4))), Wanted("B", 1 + (second.Get % 300), 2, ("LO-1", 1), ("HI-1", 1 + (count.Get % 2))));
        Dictionary<string, decimal> need = plan.Builds.SelectMany(build => build.Alone.Lines).GroupBy(line => line.Part).ToDictionary(part => part.Key, part => part.Sum(line => line.Need));
        return plan.Together.Lines.All(line => line is { Available: >= 0, Shortage: >= 0, Packs: >= 0 }
                && line.Need == need[line.Part]
                && line.Available + line.Ordered >= line.Need
                && (line.Packs == 0 || line.Available + line.Ordered - line.PackSize < line.Need))
            && plan.Together.OrderTotal == plan.Together.Lines.Sum(line => line.OrderPrice)
            && decimal.Round(plan.Together.OrderTotal, 2) == plan.Together.OrderTotal
            && plan.Builds.All(build => build.SetsToday >= 0 && build.SetsToday <= build.Sets)
            && plan.Together.Lines.All(line => plan.Builds.Sum(build => build.SetsToday * (build.Alone.Lines.FirstOrDefault(own => own.Part == line.Part)?.Need ?? 0) / build.Sets) <= line.Available);
    }

    private static readonly PartsOrder Order = new(1, 2, PartsOrder.UsualCutLossMm, new(2031, 3, 3), null);

    private static IEnumerable<int[]> Mixes(IReadOnlyList<MixBuild> builds) => builds.Aggregate(
        (IEnumerable<int[]>)[[]], (mixes, build) => mixes.SelectMany(mix => Enumerable.Range(0, build.Sets + 1).Select(sets => (int[])[.. mix, sets])));

    private static bool Fits(MixBuild[] builds, int[] sets, Dictionary<string, decimal> available) =>
        available.All(part => builds.Select((build, b) => sets[b] * build.PerSet.GetValueOrDefault(part.Key)).Sum() <= part.Value);

    private static int Worth(MixBuild[] builds, int[] sets) => builds.Select((build, b) => build.Priority * sets[b]).Sum();

    private static int Early(int[] sets) => sets.Select((count, b) => count * (sets.Length - b)).Sum();

    private BenchPlan Plan(params WantedBuild[] wanted) => BenchPlan.Of(wanted, InventoryFile.Read(_desk.Root).Value!, Order);

    private WantedBuild Wanted(string name, int sets, int priority, params (string Receiver, int Count)[] ways) => new(
        name,
        new([.. ways.Select(way => new Way(
            way.Receiver, InventoryFile.Read(_desk.Root).Value!.Receiver(way.Receiver)!.Receiver, way.Count, Wiring.Parallel, Polarity.Normal,
            [new NetworkSection(SectionPlace.Series, Resistance: 22)],
            0,
            [new TubeSegment(Units.FromMm(12.5), Units.FromMm(1.5))]))]),
        sets,
        priority);
}
