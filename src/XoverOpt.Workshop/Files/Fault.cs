namespace XoverOpt.Workshop;

/// <summary>One thing wrong with an input, said so that it can be put right.</summary>
/// <param name="File">The file, or what stands in its place for input that came another way.</param>
/// <param name="Pointer">Where in the file: a JSON Pointer (RFC 6901), empty for the whole document.</param>
/// <param name="Found">What was found.</param>
/// <param name="Allowed">What is allowed there.</param>
/// <param name="Hint">The likely fix; null where none suggests itself.</param>
public sealed record Fault(string File, string Pointer, string Found, string Allowed, string? Hint = null)
{
    /// <summary>The fault in one line: where, what was found, what is allowed, and the likely fix.</summary>
    public string Message =>
        $"{File}{(Pointer.Length == 0 ? "" : " at " + Pointer)}: found {Found}; allowed: {Allowed}.{(Hint is null ? "" : " " + Hint)}";

    /// <inheritdoc/>
    public override string ToString() => Message;
}
