using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Search;

/// <summary>
/// What programme-simulation noise from an earpiece amounts to as exposure: every third-octave band's eardrum level, less the gain an
/// open ear has from the field to the eardrum, A-weighted and summed. Advice, not a medical or legal statement.
/// </summary>
/// <param name="Millivolt">RMS of the whole noise, mV: at the socket, or behind the output resistance where there is one.</param>
/// <param name="SourceOhm">Output resistance behind which it stands, Ω; 0 for a voltage at the socket.</param>
/// <param name="Field">The field the eardrum level is referred to.</param>
/// <param name="EardrumDb">Eardrum level of the whole noise, dB re 20 µPa.</param>
/// <param name="FieldDba">A-weighted level of a field that would be as loud at the eardrum of an open ear, dB re 20 µPa.</param>
/// <param name="Time">How long it may last.</param>
public sealed record Exposure(double Millivolt, double SourceOhm, SoundField Field, double EardrumDb, double FieldDba, ListeningTime Time)
{
    // Points within a band: a response may have a peak between mid-frequencies.
    private const int PointsPerBand = 5;

    /// <summary>Computes it.</summary>
    /// <param name="earpiece">The build.</param>
    /// <param name="ear">What it speaks into.</param>
    /// <param name="source">The noise's RMS voltage and what it stands behind.</param>
    /// <param name="field">The field the eardrum level is referred to.</param>
    public static Exposure Of(Earpiece earpiece, Ear ear, Source source, SoundField field)
    {
        double drum = 0, weighted = 0;
        foreach (ProgrammeNoise.Band band in ProgrammeNoise.Bands)
        {
            for (int i = 0; i < PointsPerBand; i++)
            {
                double hz = band.Hz * Math.Pow(10, (((i + 0.5) / PointsPerBand) - 0.5) / 10);
                double pressure = PlainResponse.At(earpiece, ear, source, 2 * Math.PI * hz).DrumPressure.Magnitude / 20e-6;
                double power = band.Power / PointsPerBand * pressure * pressure;
                drum += power;
                weighted += power * Math.Pow(10, (AWeighting.Db(hz) - FieldToEardrum.Db(field, hz)) / 10);
            }
        }

        double dba = 10 * Math.Log10(weighted);
        return new(source.Voltage * 1e3, source.Resistance, field, 10 * Math.Log10(drum), dba, ListeningTime.At(dba));
    }

    /// <summary>The same noise at another voltage: all of it moves alike.</summary>
    public Exposure At(double millivolt)
    {
        double db = 20 * Math.Log10(millivolt / Millivolt);
        return this with { Millivolt = millivolt, EardrumDb = EardrumDb + db, FieldDba = FieldDba + db, Time = ListeningTime.At(FieldDba + db) };
    }
}
