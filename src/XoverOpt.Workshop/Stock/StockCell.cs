using System.Globalization;
using XoverOpt.Workshop.Purchasing;

namespace XoverOpt.Workshop.Stock;

/// <summary>A cell of a stock sheet.</summary>
/// <param name="Text">What stands there.</param>
/// <param name="Dialect">How the sheet writes numbers.</param>
/// <param name="File">The name faults bear.</param>
/// <param name="Place">Line and column, as faults name them.</param>
/// <param name="Faults">Takes what is wrong.</param>
internal sealed record StockCell(string Text, SheetDialect Dialect, string File, string Place, FaultList Faults)
{
    /// <summary>Adds a fault.</summary>
    public void Refuse(string allowed, string? hint = null) =>
        Faults.Add(new(File, Place, $"\"{(Text.Length > 60 ? Text[..60] + "…" : Text)}\"", allowed, hint));

    /// <summary>A whole number; null after a fault.</summary>
    public decimal? Whole(int min, int max)
    {
        int before = Faults.Count;
        string allowed = string.Create(CultureInfo.InvariantCulture, $"a whole number from {min} to {max}");
        if (Read(allowed) is not { } number)
        {
            return null;
        }

        if (number != decimal.Truncate(number) || number < min || number > max)
        {
            Refuse(allowed);
        }

        return Faults.Count == before ? number : null;
    }

    /// <summary>A number from 0 on; null after a fault.</summary>
    /// <param name="max">The largest.</param>
    /// <param name="digits">Most digits behind the decimal sign.</param>
    public decimal? Number(decimal max, int digits)
    {
        string allowed = string.Create(CultureInfo.InvariantCulture, $"a number from 0 to {max} with a decimal {(Dialect.Decimal == '.' ? "point" : "comma")}, at most {digits} digits behind it");
        if (Read(allowed) is not { } number)
        {
            return null;
        }

        if (number <= max && decimal.Round(number, digits) == number)
        {
            return number;
        }

        Refuse(allowed);
        return null;
    }

    private decimal? Read(string allowed)
    {
        string cell = Text.Trim();
        char other = Dialect.Decimal == '.' ? ',' : '.';
        string plain = cell.Replace(Dialect.Decimal, '.');
        if (!cell.Contains(other, StringComparison.Ordinal) && cell.Length <= 25
            && decimal.TryParse(plain, NumberStyles.AllowDecimalPoint | NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out decimal number))
        {
            if (number >= 0)
            {
                return number;
            }

            Refuse(allowed, "Counts and prices are 0 or more.");
            return null;
        }

        Refuse(allowed, cell.Contains(other, StringComparison.Ordinal)
            ? $"This sheet has a decimal {(Dialect.Decimal == '.' ? "point" : "comma")}; say decimal {(other == '.' ? "point" : "comma")} if it has the other, and leave out signs between thousands."
            : null);
        return null;
    }
}
