namespace XoverOpt.Acoustics.Figures;

/// <summary>
/// A-weighting by the formula of IEC 61672-1:
/// <code>
/// A(f) = 20 log₁₀( f₄² f⁴ / ((f² + f₁²) √(f² + f₂²) √(f² + f₃²) (f² + f₄²)) ) + 2.000 dB
/// </code>
/// </summary>
public static class AWeighting
{
    private const double f1 = 20.598997, f2 = 107.65265, f3 = 737.86223, f4 = 12194.217;

    /// <summary>A(f), dB.</summary>
    /// <param name="hz">f, Hz, > 0.</param>
    public static double Db(double hz)
    {
        double square = hz * hz;
        return (20 * Math.Log10(f4 * f4 * square * square
            / ((square + (f1 * f1)) * Math.Sqrt(square + (f2 * f2)) * Math.Sqrt(square + (f3 * f3)) * (square + (f4 * f4))))) + 2.000;
    }
}
