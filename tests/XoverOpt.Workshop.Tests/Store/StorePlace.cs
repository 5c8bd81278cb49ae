using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>An empty store of its own, whose clock a test turns; gone when the test ends.</summary>
public abstract class StorePlace : IDisposable
{
    internal ManualClock Clock { get; } = new();

    /// <summary>The store.</summary>
    public abstract WorkshopStore Store { get; }

    public void Dispose()
    {
        Dispose(true);
        GC.SuppressFinalize(this);
    }

    protected abstract void Dispose(bool disposing);
}
