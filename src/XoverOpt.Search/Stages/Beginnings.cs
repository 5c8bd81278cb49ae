namespace XoverOpt.Search;

/// <summary>
/// The several beginnings of a search with a large budget: when the present one began, what earlier ones found, which layouts were tried
/// over all of them. A search with a small budget begins once.
/// </summary>
internal sealed class Beginnings
{
    private readonly Schedule _schedule;
    private readonly LayoutProposals _proposals;
    private readonly Elite _elite;
    private readonly int _lastingSize;
    private readonly List<Found> _earlier = [];
    private TriedLayouts? _counted;
    private long _begun;
    private bool _together;

    /// <summary>Begins, or goes on from a saved state.</summary>
    /// <param name="schedule">The plan.</param>
    /// <param name="proposals">What begins afresh with each.</param>
    /// <param name="elite">The best of the present one.</param>
    /// <param name="lastingSize">How many of the best of each are laid aside.</param>
    /// <param name="from">A saved state; null to begin.</param>
    public Beginnings(Schedule schedule, LayoutProposals proposals, Elite elite, int lastingSize, SearchState? from)
    {
        (_schedule, _proposals, _elite, _lastingSize) = (schedule, proposals, elite, lastingSize);
        if (from is not null)
        {
            (_begun, _together) = (from.Begun, from.Together);
            _earlier.AddRange(from.Earlier);
            _counted = from.Counted is { } counted ? new TriedLayouts(counted) : null;
        }
    }

    /// <summary>Whether the search begins afresh once this beginning has done its part.</summary>
    public bool Many => _schedule.Beginnings > 0 && _proposals.Draws && !_together;

    /// <summary>The best of earlier ones; null where there is none.</summary>
    public Found? Best => _earlier.MinBy(found => found.Cost);

    /// <summary>Whether looking at layouts from all over is over.</summary>
    public bool Explored(long evaluations) => _proposals.Explored(evaluations - _begun);

    /// <summary>Whether the present one has used its part of the budget.</summary>
    public bool Used(long evaluations) => Many
        ? evaluations - _begun >= _schedule.Beginning || evaluations >= _schedule.Beginnings
        : evaluations >= _schedule.Improving;

    /// <summary>Counts the part of the present one from here on.</summary>
    public void CountFrom(long evaluations) => _begun = evaluations;

    /// <summary>Lays aside what this one found. True: another one begins; false: the search goes on from what all of them found.</summary>
    public bool BeginAfresh(long evaluations)
    {
        _earlier.AddRange(_elite.Ranked.Take(_lastingSize));
        _elite.Clear();
        _proposals.BeginAfresh();
        _begun = evaluations;
        // None is worth while that could not come half as far as the others.
        if (evaluations + (_schedule.Beginning / 2) < _schedule.Beginnings)
        {
            return true;
        }

        _together = true;
        Rejoin();
        return false;
    }

    /// <summary>Where this one found nothing allowed: puts back what earlier ones found, for good.</summary>
    public void GiveUp()
    {
        _together = true;
        Rejoin();
    }

    /// <summary>Puts what earlier ones found beside what this one did.</summary>
    public void Rejoin()
    {
        _earlier.ForEach(found => _elite.Offer(found));
        _earlier.Clear();
    }

    /// <summary>Notes that a layout was tried; whether it is the first time, over all of them.</summary>
    public bool IsNew(Layout layout, int attempt = 1)
    {
        bool isNew = _proposals.Tried.Add(layout, attempt);
        if (_schedule.Beginnings == 0)
        {
            return isNew;
        }

        _counted ??= new TriedLayouts(double.PositiveInfinity);
        return _counted.Add(layout, attempt);
    }

    /// <summary>The state with its part of it.</summary>
    public SearchState Save(SearchState state) =>
        state with { Begun = _begun, Together = _together, Earlier = [.. _earlier], Counted = _counted?.Save() };
}
