using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>A build file as read: what is to be built, and what the file says of it. Only the ways must be there.</summary>
public sealed record BuildDocument
{
    /// <summary>The ways.</summary>
    public required Earpiece Earpiece { get; init; }

    /// <summary>Place in the list it came from; null where not stated.</summary>
    public int? Rank { get; init; }

    /// <summary>Name of the job it came from; null where not stated.</summary>
    public string? Job { get; init; }

    /// <summary>Hash of that job; null where not stated.</summary>
    public string? JobHash { get; init; }

    /// <summary>Hash of the inventory; null where not stated.</summary>
    public string? InventoryHash { get; init; }

    /// <summary>Version of the program that wrote it; null where not stated.</summary>
    public string? ProgramVersion { get; init; }

    /// <summary>Canonical key; null where not stated.</summary>
    public string? Key { get; init; }

    /// <summary>Whether it kept every limit; null where not stated.</summary>
    public bool? Feasible { get; init; }

    /// <summary>How far limits were broken; null where not stated.</summary>
    public double? Violation { get; init; }

    /// <summary>The limits it broke, in words.</summary>
    public IReadOnlyList<string> BrokenLimits { get; init; } = [];

    /// <summary>Cost before snapping to what can be bought; null where not stated.</summary>
    public double? RelaxedCost { get; init; }

    /// <summary>Cost beyond the relaxed cost, % of it; null where not stated.</summary>
    public double? SnappingLossPercent { get; init; }

    /// <summary>What would improve it most, as the file says.</summary>
    public IReadOnlyList<Advice> Advice { get; init; } = [];

    /// <summary>Cost; null where not stated. A part the file leaves out is NaN.</summary>
    public CostBreakdown? Cost { get; init; }

    /// <summary>The file's figures by their names there; null for a figure that could not be computed. Lists are left aside.</summary>
    public IReadOnlyDictionary<string, double?> Figures { get; init; } = new Dictionary<string, double?>();

    /// <summary>Response; null where not stated.</summary>
    public EarpieceResponse? Response { get; init; }
}
