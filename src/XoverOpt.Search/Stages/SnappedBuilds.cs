namespace XoverOpt.Search;

/// <summary>
/// The builds that a search has made so far, judged. All builds of a layout are kept: the one of least cost may break a limit that
/// another keeps.
/// </summary>
internal sealed class SnappedBuilds(BuildEvaluation evaluation, ProblemTables tables, LayoutSpace space)
{
    private readonly List<Found> _found = [];
    private readonly List<RankedBuild> _judged = [];

    /// <summary>As they were made.</summary>
    public IReadOnlyList<Found> Found => _found;

    /// <summary>The best, by the order builds are ranked in; null before the first.</summary>
    public RankedBuild? Best => _judged.Min(BuildRanking.Order);

    /// <summary>The best build of each layout, its loss told against the best ideal values of the layout, though it may have come from another optimum of it.</summary>
    public IEnumerable<RankedBuild> OfEachLayout => Enumerable.Range(0, _found.Count)
        .GroupBy(i => new Layout(_found[i].Options).Key)
        .Select(kin => kin.Select(i => _judged[i]).Min(BuildRanking.Order)! with { RelaxedCost = kin.Select(i => _found[i].RelaxedCost).Where(cost => !double.IsNaN(cost)).DefaultIfEmpty(double.NaN).Min() });

    /// <summary>Keeps a build unless it is there.</summary>
    public void Keep(Found build)
    {
        if (_found.Exists(other => other.Options.AsSpan().SequenceEqual(build.Options) && other.Choices.AsSpan().SequenceEqual(build.Choices)))
        {
            return;
        }

        var candidate = new Candidate(tables, space, new(build.Options));
        for (int q = 0; q < candidate.Ranges.Length; q++)
        {
            candidate.Hold(q, build.Choices![q]);
        }

        _found.Add(build);
        _judged.Add(evaluation.Judge(candidate.ToEarpiece(), build.RelaxedCost));
    }
}
