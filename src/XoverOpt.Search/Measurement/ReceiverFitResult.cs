using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>How far a value is to be believed.</summary>
public enum FitStanding
{
    /// <summary>It was given as known.</summary>
    Known,

    /// <summary>It was given as assumed.</summary>
    Assumed,

    /// <summary>The measurements tell it to within a quarter of itself.</summary>
    Determined,

    /// <summary>The measurements tell it, but not to within a quarter; others make up for it.</summary>
    Loose,

    /// <summary>The measurements do not tell it: it can be moved without limit if others move along.</summary>
    Undetermined,

    /// <summary>It has no influence that could be told, or ran to an end of its range.</summary>
    AtBound,
}

/// <summary>One value of a fit.</summary>
/// <param name="Number">Number in <see cref="ReceiverParameter.All"/>.</param>
/// <param name="Value">Value, SI. To be shown only where its standing allows it.</param>
/// <param name="RelativeError">One standard deviation, relative; 0 for given ones, infinite for what is not determined.</param>
/// <param name="Standing">How far it is to be believed.</param>
public sealed record FittedValue(int Number, double Value, double RelativeError, FitStanding Standing)
{
    /// <summary>The parameter.</summary>
    public ReceiverParameter Parameter => ReceiverParameter.All[Number];
}

/// <summary>A combination of parameters that measurements can tell even where they cannot tell the parameters.</summary>
/// <param name="Name">The combination.</param>
/// <param name="Unit">Its SI unit.</param>
/// <param name="Value">Its value, SI.</param>
/// <param name="RelativeError">One standard deviation, relative; infinite where it is not told either.</param>
public sealed record FitCombination(string Name, string Unit, double Value, double RelativeError);

/// <summary>How well one measurement is met.</summary>
/// <param name="Curve">Name of the curve.</param>
/// <param name="What">Which of its columns.</param>
/// <param name="Unit">dB or degrees.</param>
/// <param name="Rms">RMS of measured less modelled.</param>
/// <param name="Worst">The largest.</param>
/// <param name="WorstHz">Where, Hz.</param>
/// <param name="Expected">RMS that the stated noise alone would leave.</param>
/// <param name="Mean">Mean of modelled less measured: what a wrong calibration or leads turned over leave.</param>
public sealed record FitQuality(string Curve, string What, string Unit, double Rms, double Worst, double WorstHz, double Expected, double Mean);

/// <summary>What came of a fit.</summary>
public sealed record ReceiverFitResult
{
    /// <summary>The receiver that meets the measurements best. What is not determined stands at some value that does.</summary>
    public required Receiver Receiver { get; init; }

    /// <summary>Every parameter.</summary>
    public required IReadOnlyList<FittedValue> Values { get; init; }

    /// <summary>Combinations of them.</summary>
    public required IReadOnlyList<FitCombination> Combinations { get; init; }

    /// <summary>How well each measurement is met.</summary>
    public required IReadOnlyList<FitQuality> Quality { get; init; }

    /// <summary>χ² over degrees of freedom: about 1 where the model is right and the noise as stated.</summary>
    public required double ReducedChiSquare { get; init; }

    /// <summary>What the measurements cannot tell apart, in words.</summary>
    public required IReadOnlyList<string> Ambiguities { get; init; }

    /// <summary>What else to be wary of, in words.</summary>
    public required IReadOnlyList<string> Warnings { get; init; }

    /// <summary>Of the descents followed to their end, how many ended here.</summary>
    public required int Agreeing { get; init; }

    /// <summary>How many descents were followed to their end.</summary>
    public required int Followed { get; init; }

    /// <summary>Whether every parameter that a receiver needs is given or told by the measurements, so that a receiver file may be written.</summary>
    public bool IsWhole => Values.All(value => value.Standing != FitStanding.Undetermined);
}
