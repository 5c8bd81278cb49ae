namespace XoverOpt.Worker.Inbox;

/// <summary>What has just been done with a file of the watched folder; between any two of these the process may die.</summary>
internal enum InboxStep
{
    /// <summary>It was taken away from where it was dropped.</summary>
    Taken,

    /// <summary>Its job is kept as a run.</summary>
    Kept,

    /// <summary>What is wrong with it stands in a file.</summary>
    FaultsWritten,

    /// <summary>It lies where it belongs.</summary>
    Filed,
}
