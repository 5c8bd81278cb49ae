using System.Text.Json.Serialization;
using XoverOpt.Search;
using XoverOpt.Workshop.Stock;

namespace XoverOpt.Workshop;

/// <summary>
/// What the drawer holds. Each list is in an order of its own (receivers by part number, the rest by value, then price), so that it
/// does not matter how the stock was spread over files.
/// </summary>
/// <param name="Receivers">Receivers, by part number.</param>
/// <param name="Dampers">Dampers; Value in Pa·s/m³.</param>
/// <param name="Tubings">Tubing; Value is the bore, m; priced and stocked by the metre.</param>
/// <param name="Passives">Network parts; a value may be there more than once, from several makers.</param>
/// <param name="Json">The stock as one canonical JSON list, which reads back to the same inventory.</param>
public sealed record Inventory(
    IReadOnlyList<StockReceiver> Receivers,
    IReadOnlyList<StockValue> Dampers,
    IReadOnlyList<StockValue> Tubings,
    PassiveStock Passives,
    string Json)
{
    /// <summary>SHA-256 of <see cref="Json"/>, lower-case hexadecimal.</summary>
    public string Hash { get; } = CanonicalJson.Hash(Json);

    /// <summary>The folders it was read from; empty for stock that came inside a job.</summary>
    [JsonIgnore]
    public IReadOnlyList<string> Folders { get; init; } = [];

    /// <summary>
    /// What their stock books set aside. No part of <see cref="Json"/>: a search counts what is on the shelf, set aside or not, so that
    /// a reservation changes no result; a parts list tells the two apart.
    /// </summary>
    public IReadOnlyList<Reservation> Reservations { get; init; } = [];

    /// <summary>Every tag a receiver bears, sorted.</summary>
    public IReadOnlyList<string> Tags { get; } =
        [.. Receivers.SelectMany(receiver => receiver.Tags).Distinct().Order(StringComparer.Ordinal)];

    /// <summary>The receiver of a part number; null when the drawer has none such.</summary>
    public StockReceiver? Receiver(string partNumber) =>
        Receivers.FirstOrDefault(receiver => receiver.Receiver.PartNumber == partNumber);
}
