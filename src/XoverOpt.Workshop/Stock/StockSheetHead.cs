using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Stock;

/// <summary>The headings of a stock sheet: which column holds what.</summary>
internal sealed class StockSheetHead
{
    private readonly string _file;
    private readonly string[] _headings;

    private StockSheetHead(string file, string[] headings) => (_file, _headings) = (file, headings);

    /// <summary>Columns.</summary>
    public int Count => _headings.Length;

    /// <summary>Reads the first row.</summary>
    /// <returns>The headings; null after a fault.</returns>
    public static StockSheetHead? Read(Sheet sheet, string name, FaultList faults)
    {
        string[] known = [StockSheet.PartColumn, .. StockSheet.Changed, StockSheet.CurrencyColumn, StockSheet.RevisionColumn, .. StockSheet.Shown];
        if (sheet.Rows.Count == 0)
        {
            faults.Add(new(name, "", "no row", $"a row of headings ({string.Join(", ", known)}), then a row a part"));
            return null;
        }

        int before = faults.Count;
        SheetRow first = sheet.Rows[0];
        string[] headings = [.. first.Cells.Select(cell => SheetDialect.Meant(cell).Trim().ToLowerInvariant())];
        for (int c = 0; c < headings.Length; c++)
        {
            if (headings[c].Length > 0 && !known.Contains(headings[c]))
            {
                faults.Add(new(name, $"line {first.Line}, column {c + 1}", $"the heading \"{first.Cells[c]}\"", string.Join(", ", known), Nearest.Hint(headings[c], known)));
            }
            else if (headings[c].Length > 0 && Array.IndexOf(headings, headings[c]) < c)
            {
                faults.Add(new(name, $"line {first.Line}, column {c + 1}", $"the heading \"{headings[c]}\" again", "each heading once"));
            }
        }

        if (!headings.Contains(StockSheet.PartColumn))
        {
            faults.Add(new(name, $"line {first.Line}", $"no heading \"{StockSheet.PartColumn}\"", "a first row of headings, \"part\" among them", "An export shows how a sheet looks."));
        }
        else if (!headings.Intersect(StockSheet.Changed).Any())
        {
            faults.Add(new(name, $"line {first.Line}", "no heading of a value that can be changed", $"at least one of {string.Join(", ", StockSheet.Changed)}"));
        }

        return faults.Count == before ? new(name, headings) : null;
    }

    /// <summary>Whether there is such a column.</summary>
    public bool Has(string heading) => _headings.Contains(heading);

    /// <summary>The cell of a row under a heading; null where there is no such column.</summary>
    public StockCell? Cell(SheetRow row, string heading, SheetDialect dialect, FaultList faults) => Array.IndexOf(_headings, heading) is >= 0 and var at
        ? new(at < row.Cells.Count ? row.Cells[at] : "", dialect, _file, Place(row, heading), faults)
        : null;

    /// <summary>Line and column, as faults name them.</summary>
    public string Place(SheetRow row, string heading) => $"line {row.Line}, column {Array.IndexOf(_headings, heading) + 1} ({heading})";
}
