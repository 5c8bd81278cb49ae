namespace XoverOpt.Worker.Text;

/// <summary>Rows of text under headings, each column as wide as its widest cell.</summary>
internal static class TextTable
{
    /// <summary>The lines.</summary>
    /// <param name="heads">Headings; one that begins with a "&lt;" stands over a column of words, which begins at the left.</param>
    /// <param name="rows">As many cells each.</param>
    public static IEnumerable<string> Lines(IReadOnlyList<string> heads, IEnumerable<IReadOnlyList<string>> rows)
    {
        string[] shown = [.. heads.Select(head => head.TrimStart('<'))];
        IReadOnlyList<string>[] all = [shown, .. rows];
        int[] widths = [.. heads.Select((_, c) => all.Max(row => row[c].Length))];
        return all.Select(row => string.Join("  ", row.Select((cell, c) => heads[c].StartsWith('<') ? cell.PadRight(widths[c]) : cell.PadLeft(widths[c]))).TrimEnd());
    }
}
