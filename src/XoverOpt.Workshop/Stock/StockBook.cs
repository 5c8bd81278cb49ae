using XoverOpt.Search;

namespace XoverOpt.Workshop.Stock;

/// <summary>
/// What a drawer's catalogue files do not say or no longer say: counts, prices, lead times and packs of single parts, and what is set
/// aside. The program writes it; the catalogue stays as it was written by hand.
/// </summary>
public sealed record StockBook
{
    /// <summary>The format of the file.</summary>
    public const string Format = "stock-book/1";

    /// <summary>Its name in the drawer's folder.</summary>
    public const string FileName = "stock-book.json";

    /// <summary>A book with nothing in it, as a drawer without the file has it.</summary>
    public static StockBook Empty { get; } = new();

    /// <summary>The number of the last change; 0 before the first.</summary>
    public long Revision { get; init; }

    /// <summary>ISO 4217 code of its prices; empty where it has none.</summary>
    public string Currency { get; init; } = "";

    /// <summary>A part each, by name.</summary>
    public IReadOnlyList<StockEntry> Parts { get; init; } = [];

    /// <summary>What is set aside, oldest first.</summary>
    public IReadOnlyList<Reservation> Reservations { get; init; } = [];

    /// <summary>The supply of a part, the book's word laid over the catalogue's.</summary>
    /// <param name="part">The part, by <see cref="Purchasing.PartName"/>.</param>
    /// <param name="catalogue">What the catalogue says; null where it says nothing.</param>
    /// <returns>The catalogue's own object where the book says nothing of the part.</returns>
    public Supply? Over(string part, Supply? catalogue) => Entry(part) is { } entry ? entry.Over(catalogue, Currency) : catalogue;

    /// <summary>What it says of a part; null where it says nothing.</summary>
    public StockEntry? Entry(string part) => Parts.FirstOrDefault(entry => entry.Part == part);
}
