using System.Numerics;

namespace XoverOpt.Acoustics;

/// <summary>
/// A chain (transfer) matrix: [in] = M [out], flow entering port 1 and leaving port 2.
/// Electrical ports carry volt and ampere, acoustical ports pascal and m³/s; all RMS, time factor e^{jωt}.
/// </summary>
public readonly record struct TwoPort(Complex A, Complex B, Complex C, Complex D)
{
    /// <summary>Nothing between the ports.</summary>
    public static readonly TwoPort Identity = new(1, 0, 0, 1);

    /// <summary>AD − BC: 1 for a reciprocal part, −1 for a magnetic motor (Hunt 1954).</summary>
    public Complex Determinant => (A * D) - (B * C);

    /// <summary>A series impedance.</summary>
    public static TwoPort Series(Complex impedance) => new(1, impedance, 0, 1);

    /// <summary>A shunt admittance.</summary>
    public static TwoPort Shunt(Complex admittance) => new(1, 0, admittance, 1);

    /// <summary>The chain of <paramref name="first"/> (nearer the source) and <paramref name="second"/>.</summary>
    public static TwoPort operator *(TwoPort first, TwoPort second) => new(
        (first.A * second.A) + (first.B * second.C),
        (first.A * second.B) + (first.B * second.D),
        (first.C * second.A) + (first.D * second.C),
        (first.C * second.B) + (first.D * second.D));

    /// <summary>
    /// <paramref name="count"/> alike two-ports with their outlets joined, so that each meets the same pressure and
    /// gives 1/n of the flow. On the same leads V is shared and I adds: A, B/n, nC, D; one after another V adds and I is shared:
    /// nA, B, C, D/n. The determinant stays. Acoustical two-ports between one pressure and another are the parallel case.
    /// </summary>
    public TwoPort Alike(int count, Wiring wiring) => wiring == Wiring.Parallel
        ? new TwoPort(A, B / count, C * count, D)
        : new TwoPort(A * count, B, C, D / count);

    /// <summary>
    /// Unlike two-ports of determinant −1 with their outlets joined, so that each meets the pressure p and the flows add.
    /// <code>
    /// on the same leads, U_i = (V − A_i p)/B_i and C_i − A_i D_i/B_i = 1/B_i:
    ///   1/B = Σ 1/B_i    A = B Σ A_i/B_i    D = B Σ D_i/B_i    C = 1/B + A Σ D_i/B_i
    /// one after another, U_i = (I − C_i p)/D_i and A_i − B_i C_i/D_i = −1/D_i:
    ///   1/D = Σ 1/D_i    C = D Σ C_i/D_i    B = D Σ B_i/D_i    A = C Σ B_i/D_i − 1/D
    /// </code>
    /// For alike ones this is <see cref="Alike"/>.
    /// </summary>
    public static TwoPort Joined(IEnumerable<TwoPort> parts, Wiring wiring)
    {
        Complex inverse = 0, first = 0, second = 0;
        foreach (TwoPort part in parts)
        {
            Complex by = Complex.Reciprocal(wiring == Wiring.Parallel ? part.B : part.D);
            inverse += by;
            first += by * (wiring == Wiring.Parallel ? part.A : part.C);
            second += by * (wiring == Wiring.Parallel ? part.D : part.B);
        }

        Complex whole = Complex.Reciprocal(inverse);
        return wiring == Wiring.Parallel
            ? new TwoPort(whole * first, whole, inverse + (whole * first * second), whole * second)
            : new TwoPort((whole * first * second) - inverse, whole * second, whole * first, whole);
    }
}
