namespace XoverOpt.Search;

/// <summary>Which layouts to try next: from all over at first, then changes and crosses of the best.</summary>
internal sealed class LayoutProposals
{
    private const int SweptBest = 24;
    private const int CompleteWalk = 20_000;
    private readonly LayoutSpace _space;
    private readonly Problem _problem;
    private readonly Schedule _schedule;
    private readonly Elite _elite;
    private readonly Random64 _random;
    private readonly HashSet<string> _swept = [];

    /// <summary>Begins, or goes on from a saved state.</summary>
    public LayoutProposals(Problem problem, LayoutSpace space, Schedule schedule, Elite elite, SearchState? from)
    {
        (_problem, _space, _schedule, _elite) = (problem, space, schedule, elite);
        if (from is not null)
        {
            _random = new Random64(from.Random);
            Tried = new TriedLayouts(from.Tried);
            Cursor = from.Cursor;
            _swept = [.. from.Swept.Select(options => new Layout(options).Key)];
            return;
        }

        _random = new Random64(problem.Effort.Seed);
        Tried = Untried();
        // A walk through all layouts only where the exploration pays for it; else they are drawn.
        double looks = space.Total / space.BoreShades;
        Cursor = looks <= CompleteWalk && looks * Schedule.CostOf(Schedule.Look) <= schedule.Exploring ? 0 : -1;
    }

    /// <summary>Layouts tried since the last beginning.</summary>
    public TriedLayouts Tried { get; private set; }

    /// <summary>Whether layouts are drawn rather than walked through.</summary>
    public bool Draws => Cursor < 0;

    /// <summary>Next layout of a complete walk; −1 where layouts are drawn; beyond the last once there are no more.</summary>
    public long Cursor { get; private set; }

    /// <summary>State of the random generator.</summary>
    public ulong[] Random => _random.State;

    /// <summary>Layouts all of whose neighbours were proposed, the option of each way.</summary>
    public IReadOnlyList<int[]> Swept => [.. _swept.Order(StringComparer.Ordinal).Select(Layout.OptionsOf)];

    /// <summary>Begins afresh: what was tried may be tried again, from other layouts.</summary>
    public void BeginAfresh()
    {
        Tried = Untried();
        _swept.Clear();
    }

    /// <summary>Whether looking at layouts from all over is over.</summary>
    /// <param name="evaluations">Evaluations since the last beginning.</param>
    public bool Explored(long evaluations) => Cursor >= _space.Total || (Cursor < 0 && evaluations >= _schedule.Exploring);

    /// <summary>A seed for a trial.</summary>
    public ulong Seed() => _random.Next();

    /// <summary>Layouts from all over; empty, for good, where the walk is over or no allowed layout turned up in thousands of draws.</summary>
    public List<Trial> Explore()
    {
        var batch = new List<Trial>(_schedule.BatchSize);
        for (; Cursor >= 0 && batch.Count < _schedule.BatchSize && Cursor < _space.Total; Cursor++)
        {
            Layout layout = _space.At(Cursor);
            if (_space.Allows(layout) && layout.Options.SequenceEqual(_space.FirstBores(layout).Options))
            {
                batch.Add(new(layout, null, Seed(), Schedule.Look));
            }
        }

        while (Cursor < 0 && batch.Count < _schedule.BatchSize && _space.Draw(_random) is { } drawn)
        {
            batch.Add(new(drawn, null, Seed(), Schedule.Look));
        }

        if (batch.Count == 0)
        {
            Cursor = long.MaxValue;
        }

        return batch;
    }

    /// <summary>
    /// Half of a batch are neighbours of the best layouts, one after another, until each has had all of its own tried; half are random
    /// changes and crosses of good ones, and now and then another go at one.
    /// </summary>
    /// <param name="outstanding">Layouts being tried already.</param>
    public List<Trial> Improve(IEnumerable<Layout> outstanding)
    {
        var batch = new List<Trial>(_schedule.BatchSize);
        var inHand = outstanding.Select(layout => layout.Key).ToHashSet();
        foreach (Found parent in _elite.Ranked.Take(SweptBest).Where(found => !_swept.Contains(new Layout(found.Options).Key)))
        {
            bool whole = true;
            foreach (Layout neighbour in Variation.Neighbours(_space, new(parent.Options)))
            {
                if (!Tried.Has(neighbour, 2) && _space.Allows(neighbour) && inHand.Add(neighbour.Key))
                {
                    Tried.Add(neighbour, 2);
                    batch.Add(new(neighbour, Variation.Carry(_space, _problem, parent, neighbour), Seed(), _schedule.Child));
                    whole = batch.Count < _schedule.BatchSize / 2;
                    if (!whole)
                    {
                        break;
                    }
                }
            }

            if (!whole)
            {
                break;
            }

            _swept.Add(new Layout(parent.Options).Key);
        }

        while (batch.Count < _schedule.BatchSize)
        {
            Found parent = _elite.Pick(_random);
            Layout? child = _random.NextDouble() < 0.15 ? null : Variation.Of(_space, parent, _elite, _random, layout => !Tried.Has(layout) && inHand.Add(layout.Key));
            batch.Add(child is null
                ? new(new(parent.Options), null, Seed(), Schedule.Again)
                : new(child, Variation.Carry(_space, _problem, parent, child), Seed(), _schedule.Child));
        }

        return batch;
    }

    private TriedLayouts Untried() => new(_schedule.Beginning / (double)Schedule.CostOf(Schedule.Look));
}
