using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>What a checkpoint was made by and from. Its indices mean something with the same program, job and inventory only.</summary>
/// <param name="ProgramVersion">Version of the program.</param>
/// <param name="JobHash">Hash of the job.</param>
/// <param name="InventoryHash">Hash of the inventory.</param>
public sealed record CheckpointOrigin(string ProgramVersion, string JobHash, string InventoryHash)
{
    /// <summary>That of checkpoints the running program makes of a problem.</summary>
    public static CheckpointOrigin Of(Problem problem) => new(BuildFile.ProgramVersion, problem.JobHash, problem.InventoryHash);

    /// <summary>How another origin differs from this one, in words; null if it does not.</summary>
    /// <param name="other">The other; null for a checkpoint that names none.</param>
    public string? Mismatch(CheckpointOrigin? other) =>
        other is null ? "it does not say what it was made from"
        : other.ProgramVersion != ProgramVersion ? $"it is of version {other.ProgramVersion} of the program, which is now {ProgramVersion}"
        : other.JobHash != JobHash ? "it is of another job"
        : other.InventoryHash != InventoryHash ? "it is of another inventory"
        : null;
}
