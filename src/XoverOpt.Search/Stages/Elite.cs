namespace XoverOpt.Search;

/// <summary>The best relaxed layouts so far, best first, with at most a few of each family (same receivers and counts).</summary>
public sealed class Elite(LayoutSpace space, int size, int familyCap)
{
    private readonly List<Found> _found = [];

    /// <summary>Best first.</summary>
    public IReadOnlyList<Found> Ranked => _found;

    /// <summary>The best; null before the first.</summary>
    public Found? Best => _found.Count > 0 ? _found[0] : null;

    /// <summary>Takes a layout in if it is good enough; returns whether the top half changed noticeably.</summary>
    /// <param name="found">The layout.</param>
    /// <param name="replace">Take its cost even if it is higher than before, as from a finer grid.</param>
    public bool Offer(Found found, bool replace = false)
    {
        int old = _found.FindIndex(other => other.Options.AsSpan().SequenceEqual(found.Options));
        double before = old >= 0 ? _found[old].Cost : double.PositiveInfinity;
        if (!replace && found.Cost >= before)
        {
            return false;
        }

        if (old >= 0)
        {
            _found.RemoveAt(old);
        }

        int at = _found.FindIndex(other => other.Cost > found.Cost);
        at = at < 0 ? _found.Count : at;
        string family = space.Family(new(found.Options));
        List<int> kin = [.. Enumerable.Range(0, _found.Count).Where(i => space.Family(new(_found[i].Options)) == family)];
        if (kin.Count >= familyCap && kin[^1] >= at)
        {
            _found.RemoveAt(kin[^1]);
        }
        else if (kin.Count >= familyCap)
        {
            return false;
        }

        _found.Insert(at, found);
        if (_found.Count > size)
        {
            _found.RemoveAt(size);
        }

        return at < size / 2 && found.Cost < before * 0.999;
    }

    /// <summary>Forgets all.</summary>
    public void Clear() => _found.Clear();

    /// <summary>Keeps the best only.</summary>
    public void Trim(int count) => _found.RemoveRange(Math.Min(count, _found.Count), Math.Max(_found.Count - count, 0));

    /// <summary>One of the list, the better the likelier.</summary>
    public Found Pick(Random64 random)
    {
        double u = random.NextDouble();
        return _found[(int)(u * u * _found.Count)];
    }
}
