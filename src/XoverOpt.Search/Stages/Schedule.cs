namespace XoverOpt.Search;

/// <summary>
/// How a budget of evaluations is spent: in rounds of rising effort on fewer and fewer layouts, from a coarse grid to the one that builds
/// are ranked by. Everything follows from the budget, so that a search is the same wherever it runs.
/// </summary>
internal sealed class Schedule
{
    /// <summary>A first look at a layout, with its bores free: it stands for all bores of these receivers and networks.</summary>
    public static readonly TrialPlan Look = new(6, 1, 12, 0, 14, FreeBores: true);

    /// <summary>A layout of a known build, from the build's own values.</summary>
    public static readonly TrialPlan Taken = new(6, 0, 0, 0, 40);

    /// <summary>Another go at a good layout.</summary>
    public static readonly TrialPlan Again = new(6, 2, 16, 8, 40);

    /// <summary>A wide look at combinations in a snap.</summary>
    public const int Wide = 16;

    private const double SnapCost = 4000;

    /// <summary>Budgets below this go further with short descents from the parent's values alone.</summary>
    private const long Small = 300_000;

    /// <summary>Budgets from here on begin afresh several times.</summary>
    private const long LeastForMany = 10_000_000;

    /// <summary>About what each of several beginnings takes, in evaluations.</summary>
    private const long UsualBeginning = 2_400_000;

    /// <summary>Most of a budget that known builds may take before the search goes on as it would without.</summary>
    private const double KnownShare = 0.15;

    /// <summary>Plans a budget.</summary>
    /// <param name="budget">About how many evaluations.</param>
    /// <param name="known">Whether there are known builds to begin from.</param>
    public Schedule(long budget, bool known = false)
    {
        Child = budget < Small ? new(6, 0, 0, 0, 12) : new(6, 1, 12, 6, 20);
        // Where builds are known, there is less to improve; the end, in which builds are decided, keeps its share of a small budget.
        Improving = (long)((known ? 0.5 : 0.6) * budget);
        // One long walk ends in whatever valley its first good layouts lie in. Several shorter ones end in several, and the best of each
        // are improved and crossed together in the end.
        Beginnings = budget < LeastForMany ? 0 : (long)(0.48 * budget);
        Beginning = Beginnings == 0 ? Improving : Beginnings / (long)Math.Round(Beginnings / (double)UsualBeginning);
        // Beside known builds a look from all over has less to find; where a search begins several times, they are one beginning of their own.
        Exploring = known && Beginnings == 0 ? Beginning / 6 : Beginning / 3;
        MostKnown = known ? (int)Math.Max(1, KnownShare * budget / CostOf(Taken)) : 0;
        // Small budgets go in small batches, so that they are kept to within two or so. Two are worked on at once: none is large, so that
        // the next one knows of most of what was tried.
        BatchSize = (int)Math.Clamp(budget / (40 * CostOf(Child)), 4, 96);
        // A walk ends early where a tenth of what it has for improving changed nothing that matters.
        Patience = (int)Math.Max(120, 0.1 * (Beginning - Exploring) / CostOf(Child) / BatchSize);
        SnapWidth = budget < 40 * SnapCost ? 4 : Wide;
        Snaps = (int)Math.Clamp(SnapWidth == 4 ? budget / (known ? 6000.0 : 3000.0) : 0.15 * budget / SnapCost, 1, 64);
        WideSnaps = known ? (int)Math.Max(4, 0.12 * budget / SnapCost) : 0;
        int Part(double share, double cost, int most) => (int)Math.Clamp(share * budget / cost, 1, most);
        var second = new TrialPlan(12, 2, 16, 0, 60);
        var third = new TrialPlan(24, 1, 16, 0, 60);
        var near = new TrialPlan(24, 0, 0, 0, 24);
        int deep = Part(0.06, 4 * CostOf(new(24, 1, 16, 0, 120)), 8), starts = Part(0.06 / deep, CostOf(new(24, 1, 16, 0, 120)), 24);
        var fourth = new TrialPlan(24, starts, 16, 0, 120, Global: starts < 8 ? 0 : 2000);
        Rounds =
        [
            // No fewer than are made buildable in the end.
            new(Math.Max(Part(0.08, CostOf(second), 96), Snaps), second),
            new(Math.Max(Part(0.06, CostOf(third), 64), Snaps), third),
            .. budget < 100_000 ? Array.Empty<Round>() : [new(Part(0.03, 50 * CostOf(near), 8), near, Neighbours: true), new(deep, fourth)],
            .. budget < 1_000_000 ? Array.Empty<Round>() : [new(1, new(24, 4, 16, 0, 200), Repeats: 8)],
        ];
    }

    /// <summary>A round: how many of the best layouts take part, and how each is worked on.</summary>
    /// <param name="Layouts">How many of the best.</param>
    /// <param name="Plan">How hard to work on each.</param>
    /// <param name="Neighbours">Not on themselves but on every layout one property away.</param>
    /// <param name="Repeats">How many times over, each with starts of its own.</param>
    public sealed record Round(int Layouts, TrialPlan Plan, bool Neighbours = false, int Repeats = 1);

    /// <summary>A layout made from a good one: its parent's values go on, or race a fresh start.</summary>
    public TrialPlan Child { get; }

    /// <summary>Evaluations that a beginning looks at layouts from all over for.</summary>
    public long Exploring { get; }

    /// <summary>Most layouts of known builds to begin from.</summary>
    public int MostKnown { get; }

    /// <summary>Evaluations of one beginning: looking all over, then changing the best.</summary>
    public long Beginning { get; }

    /// <summary>The search begins afresh until so many evaluations are used; 0 where it begins once.</summary>
    public long Beginnings { get; }

    /// <summary>The best are changed until so many are used.</summary>
    public long Improving { get; }

    /// <summary>Trials a batch.</summary>
    public int BatchSize { get; }

    /// <summary>Batches without a change among the best after which improving ends.</summary>
    public int Patience { get; }

    /// <summary>Rounds of refinement.</summary>
    public IReadOnlyList<Round> Rounds { get; }

    /// <summary>Combinations looked at in a snap.</summary>
    public int SnapWidth { get; }

    /// <summary>So many of the best are made buildable with a wide look, however small the budget: known builds have filled the list before.</summary>
    public int WideSnaps { get; }

    /// <summary>How many of the best are made buildable.</summary>
    public int Snaps { get; }

    /// <summary>About what a trial uses, in evaluations.</summary>
    public static int CostOf(TrialPlan plan)
    {
        int starts = Math.Max(plan.Starts, 1);
        return (plan.Starts * plan.Draws) + plan.Global + (plan.Sprint > 0 ? ((starts + 1) * plan.Sprint) + (plan.Steps * 3 / 4) : starts * plan.Steps * 3 / 4) * Descent.StepCost * (plan.FreeBores ? 3 : 2) / 2;
    }
}
