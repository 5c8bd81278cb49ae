namespace XoverOpt.Worker.Queue;

/// <summary>Counts the runs that this process works on.</summary>
public sealed class OwnRuns
{
    private int _count;

    /// <summary>Nothing of its own is in hand.</summary>
    public bool None => Volatile.Read(ref _count) == 0;

    /// <summary>Counts one more, until what is returned is disposed of.</summary>
    public IDisposable Begin()
    {
        Interlocked.Increment(ref _count);
        return new Ending(this);
    }

    private sealed class Ending(OwnRuns runs) : IDisposable
    {
        private int _ended;

        public void Dispose()
        {
            if (Interlocked.Exchange(ref _ended, 1) == 0)
            {
                Interlocked.Decrement(ref runs._count);
            }
        }
    }
}
