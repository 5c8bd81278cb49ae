using System.Numerics;

namespace XoverOpt.Search;

/// <summary>
/// Hunt's parameters of an electroacoustic two-port at one frequency, in closed form from its electrical input impedance under three known
/// acoustic loads:
/// <code>Z_in = Z_e + T_a²/(Z_a + Z_L)</code>
/// (N. Kim and J. B. Allen; relation as in Hearing Research 339 (2016) 213–214). Cleared of its fraction it is linear in Z_e, Z_a and
/// W = T_a² + Z_e Z_a: Z_in Z_L = Z_e Z_L − Z_a Z_in + W. At the mouth of a spout Z_e = A/C, Z_a = D/C and T_a² = 1/C² of the chain with det −1.
/// </summary>
/// <param name="Ze">Z_e, Ω.</param>
/// <param name="Za">Z_a, Pa·s/m³.</param>
/// <param name="TaSquare">T_a², (Pa/A)².</param>
public readonly record struct HuntRecovery(Complex Ze, Complex Za, Complex TaSquare)
{
    /// <summary>Recovers the parameters.</summary>
    /// <param name="inputs">Z_in under each load, Ω; three.</param>
    /// <param name="loads">Z_L, Pa·s/m³; three unlike ones. An infinite one is a rigid wall at the port, where Z_in = Z_e.</param>
    /// <returns>The parameters; null where loads or impedances do not differ.</returns>
    /// <exception cref="ArgumentException">Not three of each.</exception>
    public static HuntRecovery? Of(IReadOnlyList<Complex> inputs, IReadOnlyList<Complex> loads)
    {
        if (inputs.Count != 3 || loads.Count != 3)
        {
            throw new ArgumentException("Three impedances under three loads.", nameof(inputs));
        }

        int wall = Enumerable.Range(0, 3).FirstOrDefault(k => !Complex.IsFinite(loads[k]), -1);
        int i = wall == 0 ? 1 : 0, j = wall == 2 ? 1 : 2;
        Complex ze, za;
        if (wall >= 0)
        {
            // (Z_i − Z_e)(Z_a + L_i) = (Z_j − Z_e)(Z_a + L_j).
            ze = inputs[wall];
            Complex a = inputs[i] - ze, b = inputs[j] - ze;
            za = ((b * loads[j]) - (a * loads[i])) / (a - b);
        }
        else
        {
            // Differences of two loads drop W: (L₁ − L₀) Z_e − (Z₁ − Z₀) Z_a = L₁Z₁ − L₀Z₀, and the same with the third.
            Complex a = loads[1] - loads[0], b = inputs[0] - inputs[1], e = (loads[1] * inputs[1]) - (loads[0] * inputs[0]);
            Complex c = loads[2] - loads[0], d = inputs[0] - inputs[2], f = (loads[2] * inputs[2]) - (loads[0] * inputs[0]);
            Complex det = (a * d) - (b * c);
            (ze, za) = (((e * d) - (b * f)) / det, ((a * f) - (e * c)) / det);
        }

        HuntRecovery found = new(ze, za, (inputs[i] - ze) * (za + loads[i]));
        return Complex.IsFinite(found.Ze) && Complex.IsFinite(found.Za) && Complex.IsFinite(found.TaSquare) ? found : null;
    }
}
