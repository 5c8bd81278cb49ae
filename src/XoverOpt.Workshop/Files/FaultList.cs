namespace XoverOpt.Workshop;

/// <summary>The faults of one reading, collected so that all can be told at once. Not safe for threads.</summary>
public sealed class FaultList
{
    /// <summary>Past this many, further faults are counted but not kept; a file with so many has one cause.</summary>
    public const int Most = 200;

    private readonly List<Fault> _items = [];

    /// <summary>The faults so far, in the order they were found.</summary>
    public IReadOnlyList<Fault> Items => _items;

    /// <summary>Whether further faults are only counted.</summary>
    public bool IsFull => _items.Count >= Most;

    /// <summary>How many so far, kept or not; comparing two counts tells whether a part of the reading went well.</summary>
    public int Count { get; private set; }

    /// <summary>Adds a fault.</summary>
    public void Add(Fault fault)
    {
        Count++;
        if (!IsFull)
        {
            _items.Add(fault);
        }
    }

    /// <summary>Ends the reading: the value when there are no faults, else the faults.</summary>
    /// <param name="value">The value; null only when there are faults.</param>
    public Reading<T> End<T>(T? value)
        where T : class
    {
        IReadOnlyList<Fault> faults = Count == _items.Count
            ? [.. _items]
            : [.. _items, new Fault(_items[0].File, "", $"{Count - _items.Count} more faults", "none", "Mend the first ones and read again.")];
        return new(Count == 0 ? value : null, faults);
    }
}
