using System.Numerics;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>
/// A measured curve from an impulse response: its Fourier transform at 24 frequencies an octave, from where two periods fit into the
/// recording up to 0.45 of the sample rate. The phase is told from the largest sample, so that the delay of the recording does not turn it
/// between frequencies.
/// </summary>
internal static class WavImpulse
{
    private const int PointsPerOctave = 24;
    private const double LowestHz = 5;

    /// <summary>Reads an impulse response.</summary>
    /// <returns>The curve; null after a fault.</returns>
    public static MeasuredCurve? Read(ReadOnlySpan<byte> bytes, MeasuredPlace at, string name, MeasuredCalibration calibration)
    {
        if (WavSound.Read(bytes, at) is not { } sound)
        {
            return null;
        }

        if (calibration.Channel is null && sound.Channels.Length > 1)
        {
            at.Refuse(
                FormattableString.Invariant($"{sound.Channels.Length} channels"), "one channel, or a choice of one",
                FormattableString.Invariant($"Say which channel is meant, 1 to {sound.Channels.Length}."));
            return null;
        }

        if (calibration.Channel > sound.Channels.Length)
        {
            at.Refuse(FormattableString.Invariant($"{sound.Channels.Length} channel(s)"), FormattableString.Invariant($"a channel {calibration.Channel}, as asked for"));
            return null;
        }

        double[] samples = sound.Channels[(calibration.Channel ?? 1) - 1];
        int peak = 0;
        for (int n = 1; n < samples.Length; n++)
        {
            peak = Math.Abs(samples[n]) > Math.Abs(samples[peak]) ? n : peak;
        }

        if (!samples.All(double.IsFinite) || samples[peak] == 0)
        {
            at.Refuse(samples.All(double.IsFinite) ? "silence" : "samples that are no numbers", "an impulse response");
            return null;
        }

        double low = Math.Max(LowestHz, 2.0 * sound.SampleRate / samples.Length), high = 0.45 * sound.SampleRate;
        double[] hz = [.. Enumerable.Range(-400, 800).Select(k => 1000 * Math.Pow(2, (double)k / PointsPerOctave)).Where(f => f >= low && f <= high && f <= 100_000)];
        if (hz.Length < 2)
        {
            at.Refuse(FormattableString.Invariant($"{samples.Length} samples at {sound.SampleRate} Hz"), "an impulse response long enough to show an octave");
            return null;
        }

        Complex[] response = [.. hz.Select(f => Transform(samples, peak, 2 * Math.PI * f / sound.SampleRate))];
        double? scale = calibration.PascalPerFullScale;
        if (calibration.LevelDb is { } level)
        {
            double at1 = Transform(samples, peak, 2 * Math.PI * calibration.AtHz / sound.SampleRate).Magnitude;
            if (calibration.AtHz < low || calibration.AtHz > high || at1 == 0)
            {
                at.Refuse(FormattableString.Invariant($"a level stated at {calibration.AtHz} Hz"), FormattableString.Invariant($"a level at {low:0} to {high:0} Hz, where the recording has something"));
                return null;
            }

            scale = MeasuredCurve.ReferencePressure * Math.Pow(10, level / 20) / at1;
        }

        MeasuredCurve curve = MeasuredCurve.Of(name, hz, [.. response.Select(h => h * (scale ?? MeasuredCurve.ReferencePressure))]) with
        {
            IsSpl = scale is not null,
            PhaseOriginS = (double)peak / sound.SampleRate,
            Remarks = [.. Remarks(samples, peak, sound.SampleRate, hz, scale is not null)],
        };
        if (curve.LevelDb!.All(double.IsFinite))
        {
            return curve;
        }

        at.Refuse("an impulse response without any sound at some frequencies", "an impulse response");
        return null;
    }

    private static IEnumerable<string> Remarks(double[] samples, int peak, int rate, double[] hz, bool isSpl)
    {
        yield return FormattableString.Invariant($"impulse response of {samples.Length} samples at {rate} Hz, used from {hz[0]:0.#} to {hz[^1]:0} Hz; phase told from its largest sample at {1e3 * peak / rate:0.###} ms");
        if (!isSpl)
        {
            yield return "no calibration was given: levels are in dB without a reference";
        }

        int tail = Math.Max(samples.Length / 20, 1);
        double rest = Math.Sqrt(samples[^tail..].Average(x => x * x)) / Math.Abs(samples[peak]);
        if (rest > 0.01)
        {
            yield return FormattableString.Invariant($"the end of the recording is only {-20 * Math.Log10(rest):0} dB below its peak: it is cut off or noisy, and low frequencies are not to be relied on");
        }
    }

    /// <summary>Σ x(n) e^{−jφ(n − origin)}; the turning factor is set anew every 256 samples, so that its roundings do not add up.</summary>
    private static Complex Transform(double[] samples, int origin, double phi)
    {
        double sumRe = 0, sumIm = 0, stepRe = Math.Cos(phi), stepIm = -Math.Sin(phi), re = 0, im = 0;
        for (int n = 0; n < samples.Length; n++)
        {
            (re, im) = n % 256 == 0
                ? (Math.Cos(phi * (n - origin)), -Math.Sin(phi * (n - origin)))
                : ((re * stepRe) - (im * stepIm), (re * stepIm) + (im * stepRe));
            sumRe += samples[n] * re;
            sumIm += samples[n] * im;
        }

        return new(sumRe, sumIm);
    }
}
