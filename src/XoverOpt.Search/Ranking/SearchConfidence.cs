namespace XoverOpt.Search;

/// <summary>
/// What more search might find, judged by how often independent searches end in the same place. C. G. E. Boender and A. H. G. Rinnooy
/// Kan, "Bayesian stopping rules for multistart global optimization methods", Math. Programming 37 (1987) 59–80: where n independent
/// random starts ended in w different optima, and nothing is known beforehand of how many there are or how much of the space leads to
/// each, then, to be expected,
/// <code>
/// number of optima              w (n − 1) / (n − w − 2)               n ≥ w + 3
/// share of space seen           (n − w − 1)(n + w) / (n (n − 1))      n ≥ w + 2
/// chance of a new one next      1 − the share = w (w + 1) / (n (n − 1))
/// </code>
/// Starts that were led by earlier results are not independent and must be left out.
/// </summary>
/// <param name="Kind">What was repeated.</param>
/// <param name="Starts">Independent starts n.</param>
/// <param name="InBest">How many of them ended in the best optimum known.</param>
/// <param name="Optima">Different optima seen, w.</param>
/// <param name="ExpectedOptima">Number of optima to be expected in all; null where n &lt; w + 3.</param>
/// <param name="CoveredShare">Share of the search space that leads to an optimum seen; null where n &lt; w + 3.</param>
public sealed record SearchConfidence(ConfidenceKind Kind, int Starts, int InBest, int Optima, double? ExpectedOptima, double? CoveredShare)
{
    /// <summary>
    /// Costs within this share of one another are one optimum's: descents end when a step gains less than 10⁻⁴, so ends in one optimum
    /// differ by less, and nobody hears half a percent of cost.
    /// </summary>
    public const double CostTolerance = 0.005;

    /// <summary>
    /// How far apart on its range, 0 to 1, a value may be at two ends that are one optimum: about one step of a coarse list. Less
    /// would count the two ends of a flat valley as two optima.
    /// </summary>
    public const double PlaceTolerance = 0.1;

    /// <summary>Costs below this are on target whatever their ratio.</summary>
    private const double NoCost = 1e-6;

    /// <summary>Chance that one more start ends in an optimum not seen; null where it cannot be told.</summary>
    public double? ChanceOfNew => 1 - CoveredShare;

    /// <summary>From the ends of independent random starts.</summary>
    /// <param name="costs">Cost at each end; one that is not finite reached nothing and is left out.</param>
    /// <param name="places">Where each ended in the unit cube, all of one length; null to go by cost alone, which can take two optima for one.</param>
    /// <param name="bestKnown">Lowest cost known for this layout, however it was found. If no start came near it, none ended in the best.</param>
    /// <exception cref="ArgumentException">Not as many places as costs.</exception>
    public static SearchConfidence OfStarts(
        IReadOnlyList<double> costs, IReadOnlyList<double[]>? places = null, double bestKnown = double.PositiveInfinity)
    {
        if (places is not null && places.Count != costs.Count)
        {
            throw new ArgumentException("One place a cost.", nameof(places));
        }

        // Each end belongs to the first optimum, in order of cost, that it is close to; else it is one of its own.
        var optima = new List<(int First, int Ends)>();
        foreach (int end in Enumerable.Range(0, costs.Count).Where(i => double.IsFinite(costs[i])).OrderBy(i => costs[i]).ThenBy(i => i))
        {
            int of = optima.FindIndex(optimum => Close(costs[optimum.First], costs[end])
                && (places is null || places[optimum.First].Zip(places[end]).All(pair => Math.Abs(pair.First - pair.Second) <= PlaceTolerance)));
            if (of < 0)
            {
                optima.Add((end, 1));
            }
            else
            {
                optima[of] = (optima[of].First, optima[of].Ends + 1);
            }
        }

        bool reached = optima.Count > 0 && Close(Math.Min(bestKnown, costs[optima[0].First]), costs[optima[0].First]);
        return Of(ConfidenceKind.Values, optima.Sum(optimum => optimum.Ends), reached ? optima[0].Ends : 0, optima.Count);
    }

    /// <summary>From independent repetitions of a whole search.</summary>
    /// <param name="costs">Cost of what each found best; one that is not finite found nothing and is left out.</param>
    /// <param name="layouts">What each found best: equal texts for equal layouts.</param>
    /// <param name="bestKnown">The best layout known, however it was found; null for the best of these.</param>
    /// <exception cref="ArgumentException">Not as many layouts as costs.</exception>
    public static SearchConfidence OfRepetitions(IReadOnlyList<double> costs, IReadOnlyList<string> layouts, string? bestKnown = null)
    {
        if (layouts.Count != costs.Count)
        {
            throw new ArgumentException("One layout a cost.", nameof(layouts));
        }

        (double Cost, string Layout)[] ends = [.. costs.Zip(layouts).Where(end => double.IsFinite(end.First)).OrderBy(end => end.First).ThenBy(end => end.Second, StringComparer.Ordinal)];
        string? best = bestKnown ?? ends.FirstOrDefault().Layout;
        return Of(ConfidenceKind.Layouts, ends.Length, ends.Count(end => end.Layout == best), ends.DistinctBy(end => end.Layout).Count());
    }

    /// <summary>From counts.</summary>
    /// <param name="kind">What was repeated.</param>
    /// <param name="starts">Independent starts, n.</param>
    /// <param name="inBest">How many ended in the best optimum.</param>
    /// <param name="optima">Different optima seen, w.</param>
    public static SearchConfidence Of(ConfidenceKind kind, int starts, int inBest, int optima)
    {
        double n = starts, w = optima;
        bool enough = starts >= optima + 3 && optima > 0;
        return new(
            kind,
            starts,
            inBest,
            optima,
            enough ? w * (n - 1) / (n - w - 2) : null,
            enough ? (n - w - 1) * (n + w) / (n * (n - 1)) : null);
    }

    /// <summary>For a designer.</summary>
    public string Words
    {
        get
        {
            (string starts, string start, string one, string many) = Kind == ConfidenceKind.Values
                ? ("independent starts for the layout that is best with ideal values", "start", "optimum", "optima")
                : ("independent repetitions of the search", "repetition", "layout", "layouts");
            string seen = Invariant($"{Starts} {starts}: {(InBest == 0 ? "none" : InBest)} ended in the best {one}, {Optima} different {(Optima == 1 ? one : many)} seen");
            if (ExpectedOptima is not { } expected || ChanceOfNew is not { } chance)
            {
                return Invariant($"{seen}. What was missed cannot be estimated yet: that takes at least {Optima + 3} {start}s.");
            }

            double missed = expected - Optima;
            string more = missed < 0.5 ? $"probably no further {one} exists"
                : missed < 1.5 ? "an estimated one more exists that was not seen"
                : Invariant($"an estimated {missed:0} more exist that were not seen");
            string odds = chance < 0.001 ? "less than 0.1 %" : Invariant($"about {100 * chance:0.#} %");
            return $"{seen}; {more}; the chance that one more {start} finds a new one is {odds}. A new one need not be better.";
        }
    }

    private static bool Close(double best, double other) => other - best <= Math.Max(CostTolerance * best, NoCost);

    private static string Invariant(FormattableString text) => FormattableString.Invariant(text);
}
