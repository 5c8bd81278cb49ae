using System.Numerics;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Search;

/// <summary>What to look at when the source changes.</summary>
public sealed record SourceSettings
{
    /// <summary>Output resistances, Ω, the 120 Ω of IEC 61938 among them; the others are common practice, no source.</summary>
    public IReadOnlyList<double> Ohms { get; init; } = [0.1, 0.5, 1, 5, 10, 20, 32, 50, 75, 120];

    /// <summary>The change of shape that a pad should keep to, dB.</summary>
    public double WithinDb { get; init; } = 1;

    /// <summary>The least load a pad may leave, Ω; null for the job's least impedance or, where it has none, the build's own.</summary>
    public double? LeastLoadOhm { get; init; }
}

/// <summary>How the response moves on another output resistance.</summary>
/// <param name="Ohm">The output resistance, Ω.</param>
/// <param name="Change">Level and shape against the job's own source.</param>
/// <param name="ChangeDb">The change at every frequency, level included, dB.</param>
public sealed record SourceChange(double Ohm, ResponseChange Change, IReadOnlyList<double> ChangeDb);

/// <summary>How a build behaves on other sources than the job's: changes of response, impedance, lowest load, and pads against it.</summary>
public sealed record SourceSpread
{
    /// <summary>The job's own output resistance, Ω.</summary>
    public required double OwnOhm { get; init; }

    /// <summary>Frequencies, Hz, 24 an octave from 20 Hz to 20 kHz.</summary>
    public required IReadOnlyList<double> Hz { get; init; }

    /// <summary>Magnitude of the socket impedance at each, Ω.</summary>
    public required IReadOnlyList<double> ImpedanceOhm { get; init; }

    /// <summary>Its phase, degrees.</summary>
    public required IReadOnlyList<double> ImpedanceDeg { get; init; }

    /// <summary>The lowest load the source sees from 20 Hz to 20 kHz, Ω.</summary>
    public required double LowestLoadOhm { get; init; }

    /// <summary>Where that is, Hz.</summary>
    public required double LowestLoadHz { get; init; }

    /// <summary>The change on every source asked for.</summary>
    public required IReadOnlyList<SourceChange> Changes { get; init; }

    /// <summary>What a pad was asked to keep to, dB.</summary>
    public required double WithinDb { get; init; }

    /// <summary>The least load it was asked to leave, Ω.</summary>
    public required double LeastLoadOhm { get; init; }

    /// <summary>A pad for every source above the job's own.</summary>
    public required IReadOnlyList<SourcePad> Pads { get; init; }

    /// <summary>Computes it.</summary>
    public static SourceSpread Of(Earpiece earpiece, Problem problem, SourceSettings settings)
    {
        var bands = new ChangeBands(problem, double.PositiveInfinity);
        Complex[] admittance = [.. bands.Responses(earpiece, problem.Ear, problem.Source).Select(response => Complex.Reciprocal(response.SocketImpedance))];
        Complex[] impedance = [.. admittance.Select(Complex.Reciprocal)];
        int lowest = Enumerable.Range(0, impedance.Length).MinBy(k => impedance[k].Magnitude);
        double least = settings.LeastLoadOhm ?? Math.Min(problem.Limits.MinImpedance ?? double.PositiveInfinity, impedance[lowest].Magnitude);
        return new()
        {
            OwnOhm = problem.Source.Resistance,
            Hz = bands.Hz,
            ImpedanceOhm = [.. impedance.Select(z => z.Magnitude)],
            ImpedanceDeg = [.. impedance.Select(z => z.Phase * 180 / Math.PI)],
            LowestLoadOhm = impedance[lowest].Magnitude,
            LowestLoadHz = bands.Hz[lowest],
            Changes = [.. settings.Ohms.Select(ohm => Change(ohm))],
            WithinDb = settings.WithinDb,
            LeastLoadOhm = least,
            Pads = SourcePad.Find(earpiece, problem, bands, admittance, settings.Ohms, settings.WithinDb, least),
        };

        // The voltage at the socket is V_s/(1 + R·Y); what follows it does not know the source.
        SourceChange Change(double ohm)
        {
            double[] db = [.. admittance.Select(y => 20 * Math.Log10(((1 + (problem.Source.Resistance * y)) / (1 + (ohm * y))).Magnitude))];
            return new(ohm, bands.Judge(db), db);
        }
    }
}
