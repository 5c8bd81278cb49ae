namespace XoverOpt.Workshop;

/// <summary>
/// How a measured phase goes with its magnitude. In a passive part of minimum phase it is the gain–phase integral
/// <code>φ(u₀) = (1/π) ∫ (d ln|p|/du) ln coth(|u − u₀|/2) du,   u = ln f</code>
/// (H. W. Bode, 1945), with straight pieces between at most <see cref="MostPoints"/> points and the outermost half octave's slope going on beyond
/// the data. Good enough to tell units apart, not to judge a build by.
/// </summary>
/// <param name="Share">The phase as a multiple of what the magnitude asks for, by least squares beside a constant and, if asked for, a delay.</param>
/// <param name="Fit">Correlation of the two when those are taken out.</param>
/// <param name="Spread">Spread of what the magnitude asks for, degrees.</param>
internal sealed record PhaseLaw(double Share, double Fit, double Spread)
{
    private const int MostPoints = 160;
    private const int Terms = 60;

    /// <summary>Compares; null where there are too few points or nothing changes.</summary>
    /// <param name="hz">Frequencies, rising.</param>
    /// <param name="neper">ln of the magnitude.</param>
    /// <param name="phase">Phase, degrees, wrapped or not.</param>
    /// <param name="delay">Whether the phase may have a delay in it.</param>
    public static PhaseLaw? Of(double[] hz, double[] neper, double[] phase, bool delay)
    {
        const int Fewest = 12;
        if (hz.Length < Fewest || !(hz[0] > 0) || hz.Zip(hz.Skip(1)).Any(pair => !(pair.First < pair.Second)))
        {
            return null;
        }

        double turns = 0;
        double[] followed = new double[hz.Length];
        for (int i = 0; i < hz.Length; i++)
        {
            turns -= i > 0 ? 360 * Math.Round((phase[i] - phase[i - 1]) / 360) : 0;
            followed[i] = phase[i] + turns;
        }

        int step = (hz.Length + MostPoints - 1) / MostPoints;
        int[] kept = [.. Enumerable.Range(0, hz.Length).Where(k => k % step == 0)];
        double[] u = [.. kept.Select(k => Math.Log(hz[k]))], found = [.. kept.Select(k => followed[k])];
        double[] asked = MinimumPhase(u, [.. kept.Select(k => neper[k])]);
        double spread = asked.Max() - asked.Min();
        double[] constant = [.. kept.Select(_ => 1.0)], rising = [.. kept.Select(k => hz[k] / hz[^1])];

        // Constant and delay are taken out of both, one after the other (Gram and Schmidt).
        TakeOut(asked, constant);
        TakeOut(found, constant);
        if (delay)
        {
            TakeOut(rising, constant);
            TakeOut(asked, rising);
            TakeOut(found, rising);
        }

        double aa = Dot(asked, asked), ff = Dot(found, found), af = Dot(asked, found);
        return aa <= 0 || ff <= 0 || !double.IsFinite(aa + ff) ? null : new(af / aa, af / Math.Sqrt(aa * ff), spread);
    }

    /// <summary>Degrees at each point.</summary>
    private static double[] MinimumPhase(double[] u, double[] neper)
    {
        int n = u.Length;
        double[] phase = new double[n];
        int low = Math.Max(Array.FindIndex(u, at => at > u[0] + 0.35), 1), high = Math.Min(Array.FindLastIndex(u, at => at < u[^1] - 0.35), n - 2);
        double first = (neper[low] - neper[0]) / (u[low] - u[0]), last = (neper[^1] - neper[Math.Max(high, 0)]) / (u[^1] - u[Math.Max(high, 0)]);
        for (int i = 0; i < n; i++)
        {
            double sum = (first * (Half - Area(u[i] - u[0]))) + (last * (Half - Area(u[^1] - u[i])));
            for (int j = 1; j < n; j++)
            {
                sum += (neper[j] - neper[j - 1]) / (u[j] - u[j - 1]) * (Area(u[j] - u[i]) - Area(u[j - 1] - u[i]));
            }

            phase[i] = sum / Math.PI * 180 / Math.PI;
        }

        return phase;
    }

    /// <summary>∫₀^∞ ln coth(t/2) dt.</summary>
    private const double Half = Math.PI * Math.PI / 4;

    /// <summary>∫₀ˣ ln coth(|t|/2) dt = ±(π²/4 − 2 Σ e^{−k|x|}/k² over odd k).</summary>
    private static double Area(double x)
    {
        double rest = 0, power = Math.Exp(-Math.Abs(x)), square = power * power;
        for (int k = 1; k < 2 * Terms && power > 1e-9; k += 2)
        {
            rest += 2 * power / (k * k);
            power *= square;
        }

        return x == 0 ? 0 : Math.Sign(x) * (Half - rest);
    }

    private static void TakeOut(double[] from, double[] what)
    {
        double share = Dot(from, what) / Dot(what, what);
        for (int i = 0; i < from.Length; i++)
        {
            from[i] -= share * what[i];
        }
    }

    private static double Dot(double[] a, double[] b) => a.Zip(b, (x, y) => x * y).Sum();
}
