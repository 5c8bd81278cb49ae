namespace XoverOpt.Worker.Access;

/// <summary>What a key allows; each scope includes those before it.</summary>
public enum Scope
{
    /// <summary>Looking: jobs, builds, stock, health, metrics.</summary>
    Read,

    /// <summary>Handing in and stopping jobs, and whatever else makes the worker work.</summary>
    Submit,

    /// <summary>Governing the worker: pausing, deleting, the queue's pages.</summary>
    Admin,
}
