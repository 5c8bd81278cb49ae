using XoverOpt.Search;

namespace XoverOpt.Workshop.Purchasing;

/// <summary>One part of a parts list. Quantities are pieces, metres for tubing; money is in the drawer's currency.</summary>
public sealed record PartsLine
{
    /// <summary>What it is.</summary>
    public required PartKind Kind { get; init; }

    /// <summary>Its number, or its kind and value where it has none.</summary>
    public required string Part { get; init; }

    /// <summary>The number under which it is bought; null for what a job lists outright or a series without a number.</summary>
    public string? PartNumber { get; init; }

    /// <summary>Maker, or value in words.</summary>
    public required string Description { get; init; }

    /// <summary>The ways it is used in, in the build's order.</summary>
    public required IReadOnlyList<string> Ways { get; init; }

    /// <summary>Pieces in one earpiece (cuts, for tubing); null in a list of several builds.</summary>
    public int? PiecesPerEarpiece { get; init; }

    /// <summary>"pieces" or "m".</summary>
    public string Unit => Kind == PartKind.Tubing ? "m" : "pieces";

    /// <summary>Needed for all sets, with what cutting loses.</summary>
    public required decimal Need { get; init; }

    /// <summary>On the shelf; null where the drawer does not say.</summary>
    public decimal? Stock { get; init; }

    /// <summary>Of that, set aside for other builds.</summary>
    public decimal Reserved { get; init; }

    /// <summary>Set aside for this very build; part of what it may take.</summary>
    public decimal Kept { get; init; }

    /// <summary>What this build may take from the shelf; never below 0.</summary>
    public decimal Available => Math.Max((Stock ?? 0) - Reserved, 0);

    /// <summary>What is missing.</summary>
    public decimal Shortage => Math.Max(Need - Available, 0);

    /// <summary>Packs to order; a part whose pack is not stated is sold singly.</summary>
    public required int Packs { get; init; }

    /// <summary>Pieces (metres) in a pack.</summary>
    public required int PackSize { get; init; }

    /// <summary>What is ordered: whole packs.</summary>
    public decimal Ordered => (decimal)Packs * PackSize;

    /// <summary>Price of one, at the break that the order reaches; null where no price is known.</summary>
    public decimal? UnitPrice { get; init; }

    /// <summary>Price of what is ordered, in whole cents; null where no price is known and something is ordered.</summary>
    public decimal? OrderPrice => Packs == 0 ? 0 : Cents(Ordered * UnitPrice);

    /// <summary>Worth of what the sets use, at the same price, in whole cents; null where no price is known.</summary>
    public decimal? UsePrice => Cents(Need * UnitPrice);

    /// <summary>A larger order that costs less, thanks to a price break; null where there is none.</summary>
    public CheaperOrder? Cheaper { get; init; }

    /// <summary>Days from order to shelf; null where not stated.</summary>
    public int? LeadTimeDays { get; init; }

    /// <summary>When all that is needed is there: today where nothing is short; null where it cannot be told.</summary>
    public DateOnly? Arrives { get; init; }

    /// <summary>Whether this part is the one the build waits for, or cannot be dated at all.</summary>
    public bool HoldsUp { get; init; }

    internal static decimal? Cents(decimal? amount) => amount is { } exact ? Math.Round(exact, 2, MidpointRounding.AwayFromZero) : null;
}
