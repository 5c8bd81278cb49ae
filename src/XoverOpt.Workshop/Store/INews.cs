namespace XoverOpt.Workshop.Store;

/// <summary>
/// Says that something changed, so that nobody has to ask again and again. News may come for nothing, and may be lost while the store is
/// away: wait with a limit of time, and look whatever woke you. Take the task first, then look, then wait: nothing can slip in between.
/// </summary>
public interface INews
{
    /// <summary>Ends at the next news of this topic, from whichever process.</summary>
    /// <param name="topic">A word of <see cref="NewsTopic"/>.</param>
    Task Coming(string topic);
}
