using System.Collections.Concurrent;

namespace XoverOpt.Workshop.Store;

/// <summary>Passes news on within this process.</summary>
internal sealed class NewsBoard : INews
{
    private readonly ConcurrentDictionary<string, TaskCompletionSource> _waiting = new();

    /// <inheritdoc/>
    public Task Coming(string topic) =>
        _waiting.GetOrAdd(topic, _ => new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously)).Task;

    /// <summary>Wakes those who wait for a topic.</summary>
    public void Tell(string topic)
    {
        if (_waiting.TryRemove(topic, out TaskCompletionSource? waiting))
        {
            waiting.SetResult();
        }
    }

    /// <summary>Wakes everybody: news may have been missed.</summary>
    public void TellAll()
    {
        foreach (string topic in _waiting.Keys)
        {
            Tell(topic);
        }
    }
}
