namespace XoverOpt.Workshop.Tests;

/// <summary>A clock that goes only when it is told to.</summary>
internal sealed class ManualClock : TimeProvider
{
    private long _ticks = new DateTimeOffset(2025, 3, 1, 12, 0, 0, TimeSpan.Zero).Ticks;

    public override long TimestampFrequency => TimeSpan.TicksPerSecond;

    /// <summary>Told after each step.</summary>
    public event Action? Moved;

    public void Advance(TimeSpan time)
    {
        Interlocked.Add(ref _ticks, time.Ticks);
        Moved?.Invoke();
    }

    public override DateTimeOffset GetUtcNow() => new(Interlocked.Read(ref _ticks), TimeSpan.Zero);

    public override long GetTimestamp() => Interlocked.Read(ref _ticks);
}
