using FsCheck.Xunit;
using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

/// <summary>The one order of builds, and keys that do not depend on the order of ways.</summary>
public class BuildRankingTests
{
    private static readonly RankedBuild Template = new BuildEvaluation(SmallProblem.TwoWay()).Judge(
        SmallProblem.RandomBuild(new ProblemTables(SmallProblem.TwoWay(), 24), new LayoutSpace(SmallProblem.TwoWay()), new Random64(1)));

    // Every build over a few values of everything the order looks at: 2·3·2·2·2 builds, all pairs and triples.
    [Fact]
    public void Order_OfAllMadeUpBuilds_IsTotal()
    {
        RankedBuild[] builds = [..
            from feasible in new[] { true, false }
            from cost in new[] { 0.5, 1, double.PositiveInfinity }
            from violation in new[] { 0, 0.1 }
            from parts in new[] { 7, 8 }
            from key in new[] { "a", "B" }
            select Made(feasible, cost, violation, parts, key)];
        foreach (RankedBuild a in builds)
        {
            foreach (RankedBuild b in builds)
            {
                int order = Math.Sign(BuildRanking.Order.Compare(a, b));
                Assert.Equal(-order, Math.Sign(BuildRanking.Order.Compare(b, a)));
                Assert.Equal(ReferenceEquals(a, b), order == 0);
                foreach (RankedBuild c in builds.Where(c => order < 0 && BuildRanking.Order.Compare(b, c) < 0))
                {
                    Assert.True(BuildRanking.Order.Compare(a, c) < 0);
                }
            }
        }
    }

    [Fact]
    public void Order_OfUnlikeBuilds_IsFeasibleThenCostThenViolationThenPartsThenKey()
    {
        RankedBuild[] expected =
        [
            Made(true, 5, 0, 9, "z"), Made(true, 6, 0, 1, "a"), Made(false, 1, 9, 9, "z"), Made(false, 2, 0.1, 9, "z"),
            Made(false, 2, 0.2, 3, "z"), Made(false, 2, 0.2, 4, "B"), Made(false, 2, 0.2, 4, "a"),
        ];

        Assert.Equal(expected, expected.Reverse().Order(BuildRanking.Order));
    }

    [Property]
    public bool Rank_AnyShuffle_GivesTheSameList(ulong seed)
    {
        var random = new Random64(seed);
        RankedBuild[] unlike = [.. Enumerable.Range(0, 25).Select(i => Made(random.Below(2) == 0, random.Below(4), random.Below(2), random.Below(3), $"k{i}", random.Below(4)))];
        RankedBuild[] builds = [.. unlike, .. unlike.Take(5)];
        RankedBuild[] shuffled = [.. builds.Select(build => (build, At: random.Next())).OrderBy(pair => pair.At).Select(pair => pair.build)];

        IReadOnlyList<RankedBuild> ranked = BuildRanking.Rank(builds, 8), again = BuildRanking.Rank(shuffled, 8);

        return ranked.Select(build => build.Key).SequenceEqual(again.Select(build => build.Key))
            && ranked.Select(build => build.Rank).SequenceEqual(Enumerable.Range(1, ranked.Count))
            && ranked.Select(build => build.Key).Distinct().Count() == ranked.Count
            && ranked.GroupBy(build => build.Earpiece.Ways[0].Count).All(family => family.Count() <= BuildRanking.FamilyCap);
    }

    [Property]
    public bool Key_WaysInAnotherOrder_IsTheSame(ulong seed)
    {
        Problem problem = SmallProblem.ThreeWay();
        Earpiece build = SmallProblem.RandomBuild(Three, new LayoutSpace(problem), new Random64(seed));
        return BuildKey.Of(build) == BuildKey.Of(new([.. build.Ways.Reverse()]))
            && BuildKey.Of(build) == BuildKey.Of(new([build.Ways[1], build.Ways[2], build.Ways[0]]));
    }

    [Fact]
    public void Key_AnyOneThingChanged_IsAnother()
    {
        Way way = Template.Earpiece.Ways[0];
        Way[] changed =
        [
            way with { Count = way.Count + 1 }, way with { Receiver = SmallProblem.Mid1.Receiver }, way with { Wiring = Wiring.Series },
            way with { Polarity = Polarity.Inverted }, way with { DamperResistance = way.DamperResistance + 1 },
            way with { Tube = [new(way.Tube[0].Length + 1e-9, way.Tube[0].Bore)] }, way with { Tube = [new(way.Tube[0].Length, 9e-3)] },
            way with { Network = [] }, way with { Network = [way.Network[0] with { Resistance = 1.5 }, .. way.Network.Skip(1)] },
            way with { Network = [way.Network[0] with { Place = SectionPlace.Shunt }, .. way.Network.Skip(1)] },
        ];

        Assert.Distinct(changed.Append(way).Select(other => BuildKey.Of(new([other, Template.Earpiece.Ways[1]]))));
    }

    private static readonly ProblemTables Three = new(SmallProblem.ThreeWay(), 6);

    internal static RankedBuild Made(bool feasible, double cost, double violation, int parts, string key, int family = 0) => Template with
    {
        Feasible = feasible,
        Cost = Template.Cost with { Total = cost },
        Violation = violation,
        Figures = Template.Figures with { Parts = parts },
        Key = key,
        Earpiece = new([Template.Earpiece.Ways[0] with { Count = family + 1 }, Template.Earpiece.Ways[1]]),
    };
}
