namespace XoverOpt.Workshop;

/// <summary>Where a measured curve is read from, and what takes its faults: a file, or a text inside a posted document.</summary>
/// <param name="File">The name faults bear.</param>
/// <param name="Pointer">JSON Pointer to the text in a document; empty for a file of its own.</param>
/// <param name="Faults">Takes what is wrong.</param>
internal sealed record MeasuredPlace(string File, string Pointer, FaultList Faults)
{
    /// <summary>Adds a fault.</summary>
    public void Refuse(string found, string allowed, string? hint = null) => Faults.Add(new Fault(File, Pointer, found, allowed, hint));

    /// <summary>Adds a fault of one cell; lines and columns count from 1.</summary>
    public void RefuseCell(string cell, int line, int column, string? heading, string allowed, string? hint = null) => Refuse(
        FormattableString.Invariant($"\"{(cell.Length > 40 ? cell[..40] + "…" : cell)}\" in line {line}, column {column}{(heading is null ? "" : $" ({heading})")}"),
        allowed,
        hint);
}
