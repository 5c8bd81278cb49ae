namespace XoverOpt.Worker.Pages;

/// <summary>A field of the form for a new job.</summary>
/// <param name="Id">Its name in the form.</param>
/// <param name="Words">Its label.</param>
/// <param name="Unit">Its unit; empty for none.</param>
/// <param name="Pointer">Where its value stands in the job (RFC 6901).</param>
/// <param name="Kind">What it holds.</param>
/// <param name="Usual">What it holds to begin with.</param>
/// <param name="Hint">A few words beside it; null for none.</param>
internal sealed record JobField(string Id, string Words, string Unit, string Pointer, JobFieldKind Kind, string Usual = "", string? Hint = null);

/// <summary>What a field of the form holds.</summary>
internal enum JobFieldKind
{
    /// <summary>A word or a line of text.</summary>
    Text,

    /// <summary>A number; left out of the job when empty.</summary>
    Number,

    /// <summary>Words with commas between.</summary>
    Words,

    /// <summary>Numbers with commas between.</summary>
    Numbers,

    /// <summary>One of several words.</summary>
    Choice,

    /// <summary>Yes or no.</summary>
    Flag,

    /// <summary>A line of frequency and level a point.</summary>
    Points,

    /// <summary>A line a network, its sections with commas between.</summary>
    Networks,
}
