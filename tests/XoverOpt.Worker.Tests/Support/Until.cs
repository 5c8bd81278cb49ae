namespace XoverOpt.Worker.Tests.Support;

/// <summary>Waits for something to become true, looking again and again; gives up only when something must be broken.</summary>
internal static class Until
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(4);

    public static Task True(Func<bool> condition, Func<string> complaint) =>
        Some(() => Task.FromResult(condition() ? "yes" : null), complaint);

    /// <summary>The first value that is not null.</summary>
    public static async Task<T> Some<T>(Func<Task<T?>> look, Func<string> complaint)
        where T : class
    {
        using CancellationTokenSource end = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        end.CancelAfter(Patience);
        while (true)
        {
            if (await look() is { } found)
            {
                return found;
            }

            Assert.False(end.IsCancellationRequested, complaint());
            await Task.Delay(TimeSpan.FromMilliseconds(30), TestContext.Current.CancellationToken);
        }
    }
}
