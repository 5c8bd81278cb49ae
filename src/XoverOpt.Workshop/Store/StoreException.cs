namespace XoverOpt.Workshop.Store;

/// <summary>The store cannot be used; the message says which, why, and what to do.</summary>
public sealed class StoreException : Exception
{
    /// <summary>With a message for people.</summary>
    public StoreException(string message)
        : base(message)
    {
    }

    /// <summary>With a message for people and what caused it.</summary>
    public StoreException(string message, Exception inner)
        : base(message, inner)
    {
    }
}
