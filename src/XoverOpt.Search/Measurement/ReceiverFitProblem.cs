using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>Measurements of one receiver and what is known of it besides.</summary>
public sealed record ReceiverFitProblem
{
    /// <summary>Part number of the receiver.</summary>
    public required string PartNumber { get; init; }

    /// <summary>The curves; at least one.</summary>
    public required IReadOnlyList<ReceiverMeasurement> Measurements { get; init; }

    /// <summary>Noise of the measurements.</summary>
    public required MeasurementNoise Noise { get; init; }

    /// <summary>Values that are known and not fitted, SI, by number in <see cref="ReceiverParameter.All"/>.</summary>
    public IReadOnlyDictionary<int, double> Known { get; init; } = new Dictionary<int, double>();

    /// <summary>Values that are only assumed so as to pin what measurements cannot tell; held like known ones, reported apart.</summary>
    public IReadOnlyDictionary<int, double> Assumed { get; init; } = new Dictionary<int, double>();

    /// <summary>The air in receiver and loads.</summary>
    public required Air Air { get; init; }

    /// <summary>Band that is fitted, Hz.</summary>
    public (double Low, double High) BandHz { get; init; } = (20, 20_000);

    /// <summary>Seed of the starts.</summary>
    public ulong Seed { get; init; } = 1;

    /// <summary>Numbers of the parameters that are fitted.</summary>
    public int[] Free => [.. Enumerable.Range(0, ReceiverParameter.All.Count).Where(p => !Known.ContainsKey(p) && !Assumed.ContainsKey(p))];
}
