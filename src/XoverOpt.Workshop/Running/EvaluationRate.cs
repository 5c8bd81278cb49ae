namespace XoverOpt.Workshop.Running;

/// <summary>Evaluations a second over a sliding window, so that it follows when the work gets cheaper or dearer.</summary>
internal sealed class EvaluationRate
{
    private static readonly TimeSpan Window = TimeSpan.FromSeconds(10);
    private readonly Queue<(TimeSpan At, long Evaluations)> _marks = new();

    /// <summary>Takes a reading and gives the rate since the oldest reading in the window.</summary>
    public double Mark(TimeSpan at, long evaluations)
    {
        _marks.Enqueue((at, evaluations));
        while (_marks.Count > 2 && at - _marks.Peek().At > Window)
        {
            _marks.Dequeue();
        }

        (TimeSpan since, long before) = _marks.Peek();
        return at > since ? (evaluations - before) / (at - since).TotalSeconds : 0;
    }
}
