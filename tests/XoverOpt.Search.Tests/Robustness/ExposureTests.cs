using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Acoustics.Tests;

namespace XoverOpt.Search.Tests;

/// <summary>Exposure; tables in tests/data/exposure with their sources.</summary>
public class ExposureTests
{
    private static IReadOnlyList<ReferenceTable.Row> Table(string file) => ReferenceTable.Read("exposure", file).Rows;

    // IEC 61672-1, Table 3: printed to 0.1 dB; the formula column to 1e-4 dB.
    [Fact]
    public void AWeighting_Db_IsTheStandards()
    {
        Assert.Equal(34, Table("iec61672_weightings.csv").Count);
        foreach (ReferenceTable.Row row in Table("iec61672_weightings.csv"))
        {
            double db = AWeighting.Db(row.Number("exact_Hz"));
            Assert.Equal(row.Number("A_dB_table3_READ"), db, 0.051);
            Assert.Equal(row.Number("A_dB_formula"), db, 2e-4);
        }
    }

    // IEC 60268-1.
    [Fact]
    public void ProgrammeNoise_Bands_AreTheStandardsAndOnePower()
    {
        IReadOnlyList<ReferenceTable.Row> rows = Table("iec60268_1_programme_noise.csv");

        Assert.Equal(rows.Select(row => row.Number("rel_level_dB")), ProgrammeNoise.Bands.Select(band => band.LevelDb));
        Assert.All(rows.Zip(ProgrammeNoise.Bands), pair => Assert.InRange(pair.Second.Hz / pair.First.Number("f_Hz"), 0.98, 1.02));
        Assert.Equal(1, ProgrammeNoise.Bands.Sum(band => band.Power), 1e-12);
    }

    // Moore et al. 2016, ANSI S3.4.
    [Fact]
    public void FieldToEardrum_AtEveryRow_IsTheTables()
    {
        foreach (ReferenceTable.Row row in Table("field_to_eardrum.csv"))
        {
            Assert.Equal(row.Number("free_field_frontal_to_eardrum_dB(Moore2016/ANSI S3.4)"), FieldToEardrum.Db(SoundField.Free, row.Number("f_Hz")), 1e-9);
            Assert.Equal(row.Number("diffuse_field_to_eardrum_dB(Moore2016/ANSI S3.4)"), FieldToEardrum.Db(SoundField.Diffuse, row.Number("f_Hz")), 1e-9);
        }
    }

    // NIOSH 98-126: 85 dBA for 8 h, halved for every 3 dB.
    [Fact]
    public void ListeningTime_OfADay_IsNioshs()
    {
        foreach (ReferenceTable.Row row in Table("niosh_98_126_durations.csv"))
        {
            double seconds = ListeningTime.At(row.Number("level_dBA")).DailySeconds;
            Assert.Equal(row.Number("formula_duration_s"), seconds, 1e-4);
        }

        Assert.Equal([8.0, 4, 2, 1, 0.5, 0.25], new double[] { 85, 88, 91, 94, 97, 100 }.Select(dba => ListeningTime.At(dba).DailySeconds / 3600));
    }

    // WHO-ITU H.870: 80 dBA for 40 h is 1.6 Pa²h; 75 dBA for 40 h for children and sensitive listeners.
    [Fact]
    public void ListeningTime_OfAWeek_IsWhoItus()
    {
        foreach (ReferenceTable.Row row in Table("who_itu_h870_dose.csv"))
        {
            double dba = row.Number("L_dBA");
            ListeningTime time = ListeningTime.At(dba);
            Assert.Equal(row.Number("hours_to_1.6Pa2h"), time.WeeklyHours, 6e-5);
            Assert.Equal(row.Number("hours_to_75dBA_40h_dose(0.50596Pa2h)"), time.WeeklyHoursSensitive, 6e-5);
            Assert.Equal(row.Number("percent_adult_weekly_dose_per_hour"), time.WeeklyDosePercentPerHour, 6e-5);
            Assert.Equal(1.6, time.WeeklyHours * Math.Pow(20e-6 * Math.Pow(10, dba / 20), 2), 1e-9);
        }
    }

    // The same sum by hand from the tables (the field's ends at 16 kHz and is held level beyond, as the code says of itself), at the bands' middles: a response smooth over a third of an octave differs little from it.
    [Theory]
    [InlineData(SoundField.Diffuse, "diffuse_field_to_eardrum_dB(Moore2016/ANSI S3.4)")]
    [InlineData(SoundField.Free, "free_field_frontal_to_eardrum_dB(Moore2016/ANSI S3.4)")]
    public void Of_ABuild_IsTheSumOverTheTables(SoundField field, string column)
    {
        var earpiece = new Earpiece([new("mid", SmallProblem.Mid1.Receiver, 1, Wiring.Parallel, Polarity.Normal, [], 1500e5, [new(10e-3, 1.5e-3)])]);
        var source = new Source(0.05, 4);
        Dictionary<double, double> a = Table("iec61672_weightings.csv").ToDictionary(row => row.Number("nominal_Hz"), row => row.Number("A_dB_formula"));
        Dictionary<double, double> field_ = Table("field_to_eardrum.csv").ToDictionary(row => row.Number("f_Hz"), row => row.Number(column));
        double noise = 0, weighted = 0;
        foreach (ReferenceTable.Row row in Table("iec60268_1_programme_noise.csv"))
        {
            double hz = row.Number("f_Hz"), power = Math.Pow(10, row.Number("rel_level_dB") / 10);
            double spl = 20 * Math.Log10(PlainResponse.At(earpiece, SmallProblem.Ear, source, 2 * Math.PI * hz).DrumPressure.Magnitude / 20e-6);
            noise += power;
            weighted += power * Math.Pow(10, (spl + a[hz] - field_[Math.Min(hz, field_.Keys.Max())]) / 10);
        }

        var exposure = Exposure.Of(earpiece, SmallProblem.Ear, source, field);

        Assert.Equal(10 * Math.Log10(weighted / noise), exposure.FieldDba, 0.3);
        Assert.Equal(exposure.FieldDba + (20 * Math.Log10(2)), exposure.At(100).FieldDba, 1e-9);
        Assert.Equal(exposure.Time.WeeklyHours / 4, exposure.At(100).Time.WeeklyHours, 1e-9 * exposure.Time.WeeklyHours);
    }
}
