using XoverOpt.Search;
using XoverOpt.Workshop.Matching;

namespace XoverOpt.Workshop.Tests.Matching;

public sealed class PairSolverTests
{
    // The optimum by trying everything: the outside check of the solver.
    [Theory]
    [InlineData(1, 0.5)]
    [InlineData(1, 1.5)]
    [InlineData(2, 0.1)]
    [InlineData(2, 0.5)]
    public void Pairs_SmallRandomLots_AreTheBestOfAll(int count, double limit)
    {
        bool someShort = false;
        for (ulong seed = 1; seed <= 25; seed++)
        {
            List<MeasuredReceiver> lot = Lot(seed, 3 + (int)(seed % 7));
            MatchGroup group = new("P", "P", count, MatchMeasure.Usual);

            PairPlan plan = PairSolver.Sets(lot, [group], limit);

            (int sets, double mismatch) = Best(lot, group, limit, [.. Enumerable.Range(0, lot.Count)]);
            Assert.True(plan.Proven);
            Assert.Equal(sets, plan.Sets.Count);
            // The solver counts in steps of 1e-4 dB, each rounded by half a step.
            Assert.Equal(mismatch, plan.TotalMismatchDb, 1e-4 * lot.Count);
            someShort |= sets < lot.Count / (2 * count);
        }

        Assert.True(someShort, "no lot in which the limit binds");
    }

    [Fact]
    public void Pairs_OfAnyLot_UseEachOnceInsideTheLimitAndLeaveNoPairBehind()
    {
        for (ulong seed = 100; seed < 120; seed++)
        {
            List<MeasuredReceiver> lot = [.. Lot(seed, 31), .. Lot(seed + 1000, 24, "Q")];

            PairPlan plan = PairSolver.Pairs(lot, 0.8);

            string[] used = [.. plan.Sets.SelectMany(set => set.Groups).SelectMany(group => group.Left.Concat(group.Right)).Select(receiver => receiver.Serial)];
            Assert.Equal(used.Length, used.Distinct().Count());
            Assert.Equal(lot.Select(receiver => receiver.Serial).Order(), used.Concat(plan.Left.Select(left => left.Receiver.Serial)).Order());
            Assert.All(plan.Sets.SelectMany(set => set.Groups), group =>
            {
                Assert.Equal(group.Left.Single().PartNumber, group.Right.Single().PartNumber);
                Assert.InRange(MatchMeasure.Usual.Mismatch(MatchMean.Of(group.Left), MatchMean.Of(group.Right)), 0, 0.8);
            });
            // Were two of those left a pair, there would be one more.
            Assert.DoesNotContain(
                plan.Left.SelectMany(_ => plan.Left, (a, b) => (A: a.Receiver, B: b.Receiver)),
                two => two.A != two.B && two.A.PartNumber == two.B.PartNumber && MatchMeasure.Usual.Mismatch(MatchMean.Of([two.A]), MatchMean.Of([two.B])) <= 0.8);
        }
    }

    [Fact]
    public void Pairs_TwoHundredReceivers_AreSolvedToTheEnd()
    {
        PairPlan plan = PairSolver.Pairs(Lot(5, 200), 1);

        TestContext.Current.TestOutputHelper?.WriteLine(FormattableString.Invariant($"{plan.Sets.Count} pairs, {plan.Left.Count} left, mismatch {plan.TotalMismatchDb:F3} dB, proven {plan.Proven}"));
        Assert.True(plan.Proven);
        Assert.InRange(plan.Sets.Count, 80, 100);
    }

    [Fact]
    public void Pairs_SolvedTwice_AreTheSame()
    {
        List<MeasuredReceiver> lot = Lot(9, 60);

        Assert.Equal(Serials(PairSolver.Pairs(lot, 0.6)), Serials(PairSolver.Pairs(lot, 0.6)));
    }

    [Fact]
    public void Pairs_FewerWantedThanThereAre_TakesTheNearest()
    {
        List<MeasuredReceiver> lot = Lot(3, 20);

        PairPlan all = PairSolver.Pairs(lot, 2), few = PairSolver.Pairs(lot, 2, mostPairs: 3);

        Assert.Equal(3, few.Sets.Count);
        Assert.True(few.TotalMismatchDb <= all.Sets.Take(3).Sum(set => set.Groups[0].MismatchDb) + 1e-3);
        Assert.Contains(few.Left, left => left.Why == "not needed");
    }

    [Fact]
    public void Sets_OnePartInTwoWays_ShareOneLot()
    {
        List<MeasuredReceiver> lot = Lot(4, 14);

        PairPlan plan = PairSolver.Sets(lot, [new("low", "P", 2, MatchMeasure.Usual), new("high", "P", 1, MatchMeasure.Usual)], 3);

        // Six receivers a set out of fourteen.
        Assert.Equal(2, plan.Sets.Count);
        Assert.All(plan.Sets, set => Assert.Equal([2, 1], set.Groups.Select(group => group.Left.Count)));
        Assert.Equal(12, plan.Sets.SelectMany(set => set.Groups).SelectMany(group => group.Left.Concat(group.Right)).Distinct().Count());
    }

    [Fact]
    public void Sets_WithoutAPartOfTheBuild_AreNoneAndSayWhatIsLeft()
    {
        PairPlan plan = PairSolver.Sets(Lot(4, 5), [new("low", "P", 1, MatchMeasure.Usual), new("high", "Q", 1, MatchMeasure.Usual)], 3);

        Assert.Empty(plan.Sets);
        Assert.Equal(5, plan.Left.Count);
    }

    private static string[] Serials(PairPlan plan) =>
        [.. plan.Sets.Select(set => string.Join('+', set.Groups.SelectMany(group => group.Left.Concat(group.Right)).Select(receiver => receiver.Serial)))];

    internal static List<MeasuredReceiver> Lot(ulong seed, int count, string part = "P")
    {
        Random64 random = new(seed);
        double Around(double mean, double deviation) => mean + (deviation * 2 * (random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5));
        return [.. Enumerable.Range(1, count).Select(k => new MeasuredReceiver(
            FormattableString.Invariant($"{part}{k:000}"), part, Around(0, 1), Around(2800, 112), Around(60, 3)))];
    }

    private static (int Sets, double Mismatch) Best(List<MeasuredReceiver> lot, MatchGroup group, double limit, List<int> free)
    {
        int size = 2 * group.Count;
        if (free.Count < size)
        {
            return (0, 0);
        }

        // The first of the free ones stays out, or goes with any others.
        (int Sets, double Mismatch) best = Best(lot, group, limit, free[1..]);
        foreach (int[] others in Choose(free[1..], size - 1))
        {
            double mismatch = Choose([.. others], group.Count - 1).Select(with => (int[])[free[0], .. with]).Min(left =>
                group.Measure.Mismatch(MatchMean.Of([.. left.Select(i => lot[i])]), MatchMean.Of([.. others.Except(left).Select(i => lot[i])])));
            if (mismatch > limit)
            {
                continue;
            }

            (int sets, double sum) = Best(lot, group, limit, [.. free[1..].Except(others)]);
            if (sets + 1 > best.Sets || (sets + 1 == best.Sets && sum + mismatch < best.Mismatch))
            {
                best = (sets + 1, sum + mismatch);
            }
        }

        return best;
    }

    private static IEnumerable<int[]> Choose(List<int> from, int count) => count == 0
        ? [[]]
        : Enumerable.Range(0, from.Count).SelectMany(k => Choose(from[(k + 1)..], count - 1).Select(rest => (int[])[from[k], .. rest]));
}
