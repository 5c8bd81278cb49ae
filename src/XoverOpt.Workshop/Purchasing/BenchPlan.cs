using XoverOpt.Acoustics;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Workshop.Purchasing;

/// <summary>Several builds to be made from one stock: what they need together, what they fight for, and what can be built today.</summary>
/// <param name="Builds">The builds, in the plan's order.</param>
/// <param name="Together">One order for all: packs are shared, and price breaks count the sum.</param>
/// <param name="Conflicts">Parts that two builds or more need and that do not serve all of them.</param>
/// <param name="Proven">Whether no other mix is better; false where the solver ran out of steps.</param>
public sealed record BenchPlan(IReadOnlyList<PlannedBuild> Builds, PartsList Together, IReadOnlyList<PartConflict> Conflicts, bool Proven)
{
    /// <summary>What ordering together saves against an order for each build by itself, of the lines that have a price; can be negative where the builds
    /// by themselves count on the same parts of the shelf.</summary>
    public decimal Saved => Builds.Sum(build => build.Alone.OrderTotal) - Together.OrderTotal;

    /// <summary>Sets that can be built today in the best mix.</summary>
    public int SetsToday => Builds.Sum(build => build.SetsToday);

    /// <summary>Makes a plan. What is set aside for builds of the plan is to be had for all of them.</summary>
    /// <param name="wanted">The builds: at least one.</param>
    /// <param name="drawer">What is on the shelf, and its prices.</param>
    /// <param name="order">Days and cuts; its sets do not count.</param>
    public static BenchPlan Of(IReadOnlyList<WantedBuild> wanted, Inventory drawer, PartsOrder order)
    {
        HashSet<string> marks = [.. wanted.Select(build => Reservation.MarkOf(build.Earpiece))];
        IReadOnlyDictionary<string, decimal> others = Reservation.Sum(drawer.Reservations.Where(reservation => !marks.Contains(reservation.Build)));
        IReadOnlyList<PartsNeed>[] needs = [.. wanted.Select(build => PartsNeed.Of(build.Earpiece, drawer, order with { Sets = build.Sets }))];
        var together = PartsList.Of(
            PartsNeed.Together(wanted.Select((build, b) => (build.Name, needs[b]))), others, order with { Sets = wanted.Sum(build => build.Sets) });
        Dictionary<string, decimal> available = together.Lines.ToDictionary(line => line.Part, line => line.Available);
        MixOfSets mix = MixOfSets.Solve(
            [.. wanted.Select(build => new MixBuild(
                build.Sets, build.Priority, PartsNeed.Of(build.Earpiece, drawer, order with { Sets = 1 }).ToDictionary(need => need.Part, need => need.Need)))],
            available);
        return new(
            [.. wanted.Select((build, b) => new PlannedBuild(build.Name, build.Sets, build.Priority, PartsList.Of(needs[b], others, order with { Sets = build.Sets }), mix.Sets[b]))],
            together,
            [.. together.Lines
                .Where(line => line.Shortage > 0 && line.Ways.Count > 1)
                .Select(line => new PartConflict(line.Part, line.Available, line.Need, [.. wanted.Select((build, b) => (Build: build, Need: needs[b].FirstOrDefault(need => need.Part == line.Part)))
                    .Where(use => use.Need is not null)
                    .Select(use => new PartClaim(use.Build.Name, use.Need!.Need))]))],
            mix.Proven);
    }
}

/// <summary>A build that is wanted.</summary>
/// <param name="Name">What the plan calls it; no two builds of a plan alike.</param>
/// <param name="Earpiece">The build.</param>
/// <param name="Sets">How many sets, ≥ 1.</param>
/// <param name="Priority">What a set of it counts for in the mix, ≥ 1.</param>
public sealed record WantedBuild(string Name, Earpiece Earpiece, int Sets, int Priority);

/// <summary>A build in a plan.</summary>
/// <param name="Name">What the plan calls it.</param>
/// <param name="Sets">Sets wanted.</param>
/// <param name="Priority">What a set of it counts for.</param>
/// <param name="Alone">Its parts, were it the only one.</param>
/// <param name="SetsToday">Its sets in the best mix that can be built today.</param>
public sealed record PlannedBuild(string Name, int Sets, int Priority, PartsList Alone, int SetsToday);

/// <summary>A part that builds fight for.</summary>
/// <param name="Part">The part.</param>
/// <param name="Available">To be had, pieces or metres.</param>
/// <param name="Need">Needed by all together.</param>
/// <param name="Claims">What each needs.</param>
public sealed record PartConflict(string Part, decimal Available, decimal Need, IReadOnlyList<PartClaim> Claims);

/// <summary>What one build needs of a part.</summary>
/// <param name="Build">The build, as the plan calls it.</param>
/// <param name="Need">Pieces or metres for all its sets.</param>
public sealed record PartClaim(string Build, decimal Need);
