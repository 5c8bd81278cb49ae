namespace XoverOpt.Workshop.Store;

/// <summary>
/// Notices of ended runs, each written in the transaction that ends its run (<see cref="NewRun.Notify"/>): an end that is kept is told, at
/// least once. Safe from many threads.
/// </summary>
public interface IOutbox
{
    /// <summary>
    /// Takes the notice that is due longest and counts the attempt; null if none is due. It is due again after <paramref name="lease"/>
    /// unless one of the two methods below is called: whoever dies amid sending is followed by another. They name the attempt, and change
    /// nothing once the notice was taken anew.
    /// </summary>
    Notice? Take(TimeSpan lease);

    /// <summary>The notice reached whom it was for.</summary>
    /// <param name="notice">As it was taken.</param>
    void Delivered(Notice notice);

    /// <summary>It did not.</summary>
    /// <param name="notice">As it was taken.</param>
    /// <param name="failure">Why, in words.</param>
    /// <param name="tryAgainAfter">Due again after this time; null to give it up.</param>
    void Failed(Notice notice, string failure, TimeSpan? tryAgainAfter);

    /// <summary>The notice of a run; null if it has none (yet).</summary>
    Notice? Find(string runId);
}
