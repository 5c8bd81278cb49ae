using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// How unlike a receiver is to the one whose place in a build it would take. Names, tags and single parameters say little of that: what its
/// coil, motor, mass, compliance, volumes and spout come to, on this source and network and into this damper, tube and ear, says all that
/// the build can hear. So both are worked out in the place itself, nothing else changed, and compared at the eardrum:
/// <code>
/// d² = Σ_i min over g, τ of Σ_f w_f |s_i − g·e^(jωτ)·s'_i|² / |p|²      in dB: 20/ln 10 · d
/// </code>
/// s_i and s'_i are the shares of way i in the eardrum pressure before and after, p the whole pressure before, w the target's weights over
/// its band on log frequency, of sum 1. One level g and one delay τ a way are taken out because a resistor and the length of the tube
/// set them anew; dividing by p makes a difference count where the way is heard. A relative error of x is about 8.686·x dB.
/// </summary>
/// <param name="ResponseDb">d, dB: 0 for an equal receiver.</param>
/// <param name="LevelDb">How much louder (below 0: softer) the way is by itself with it, dB; of several ways the largest change.</param>
/// <param name="ImpedanceDb">RMS change of the socket impedance over the target band, dB.</param>
/// <param name="BodyMm3">What one body needs more (below 0: less) than that of the other, mm³; null where a size is not stated.</param>
/// <param name="DropsIn">Whether its body, turned as need be, is no larger in any direction; null where a size is not stated.</param>
public sealed record ReceiverDistance(double ResponseDb, double LevelDb, double ImpedanceDb, double? BodyMm3, bool? DropsIn)
{
    // Half a wavelength at 16 kHz, about 11 mm of tube: further off no cut of a tube brings a way back.
    private const double MostDelay = 31e-6;
    private const double DelayStep = 1e-6;

    /// <summary>RMS of relative errors to dB.</summary>
    private static readonly double Db = 20 / Math.Log(10);

    /// <summary>Compares two builds that differ in a receiver only.</summary>
    /// <param name="before">Response with the one.</param>
    /// <param name="after">Response with the other, at the same frequencies.</param>
    /// <param name="weights">Weight of each frequency, of sum 1.</param>
    /// <param name="ways">The ways that have it.</param>
    /// <param name="gone">The one.</param>
    /// <param name="other">The other.</param>
    public static ReceiverDistance Of(EarpieceResponse before, EarpieceResponse after, double[] weights, IReadOnlyList<int> ways, StockReceiver gone, StockReceiver other)
    {
        double[] weighed = [.. weights.Select((weight, k) => weight == 0 ? 0 : weight / Square(before.Pressure[k]))];
        double sum = 0, level = 0;
        foreach (int way in ways)
        {
            (double left, double gain) = Fit(before.Ways[way].Pressure, after.Ways[way].Pressure, weighed, before.Hz);
            sum += left;
            double change = -20 * Math.Log10(gain);
            level = Math.Abs(change) > Math.Abs(level) ? change : level;
        }

        double impedance = 0;
        for (int k = 0; k < weights.Length; k++)
        {
            double change = 20 * Math.Log10(after.Impedance[k].Magnitude / before.Impedance[k].Magnitude);
            impedance += weights[k] * change * change;
        }

        return new(Db * Math.Sqrt(sum), level, Math.Sqrt(impedance), (other.Body?.Volume - gone.Body?.Volume) * 1e9, Fits(gone.Body, other.Body));
    }

    /// <summary>What the best gain and delay leave, and the gain: infinitely small where the other way round would fit better.</summary>
    private static (double Left, double Gain) Fit(Complex[] wanted, Complex[] given, double[] weights, double[] hz)
    {
        double power = 0, own = 0;
        for (int k = 0; k < weights.Length; k++)
        {
            own += weights[k] * Square(wanted[k]);
            power += weights[k] * Square(given[k]);
        }

        (double Left, double Gain) best = (own, 0);
        for (double delay = -MostDelay; delay <= MostDelay + (DelayStep / 2); delay += DelayStep)
        {
            double alike = 0;
            for (int k = 0; k < weights.Length; k++)
            {
                if (weights[k] > 0)
                {
                    alike += weights[k] * (wanted[k] * Complex.Conjugate(given[k] * Complex.FromPolarCoordinates(1, 2 * Math.PI * hz[k] * delay))).Real;
                }
            }

            double gain = Math.Max(alike / power, 0), left = own - (2 * gain * alike) + (gain * gain * power);
            best = left < best.Left ? (Math.Max(left, 0), gain) : best;
        }

        return best;
    }

    private static bool? Fits(Body? gone, Body? other) =>
        gone is null || other is null ? null : Sides(other).Zip(Sides(gone)).All(pair => pair.First <= pair.Second * (1 + 1e-9));

    private static IEnumerable<double> Sides(Body body) => new[] { body.Length, body.Width, body.Height }.Order();

    private static double Square(Complex z) => (z.Real * z.Real) + (z.Imaginary * z.Imaginary);
}
