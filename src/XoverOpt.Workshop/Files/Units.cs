using System.Globalization;

namespace XoverOpt.Workshop;

/// <summary>
/// Units as files bear them, to and from SI. Every reader and writer converts here and nowhere else.
/// <para>
/// A conversion moves the decimal point of the number as written, so that 12.3 mm is the double nearest to 0.0123 m, which neither
/// 12.3 / 1000 nor 12.3 × 1e-3 need be. Both directions are exact inverses for every number of up to 15 digits, and so a build
/// written and read back is the same bit for bit. A number that takes 16 or 17 digits may come back one unit in the last place off;
/// none that can be bought or cut does.
/// </para>
/// </summary>
public static class Units
{
    /// <summary>mm to m.</summary>
    public static double FromMm(double mm) => Shift(mm, -3);

    /// <summary>mm² to m².</summary>
    public static double FromMm2(double mm2) => Shift(mm2, -6);

    /// <summary>mm³ to m³.</summary>
    public static double FromMm3(double mm3) => Shift(mm3, -9);

    /// <summary>mm/N to m/N.</summary>
    public static double FromMmPerN(double mmPerN) => Shift(mmPerN, -3);

    /// <summary>mg to kg.</summary>
    public static double FromMg(double mg) => Shift(mg, -6);

    /// <summary>µm to m.</summary>
    public static double FromUm(double um) => Shift(um, -6);

    /// <summary>µs to s.</summary>
    public static double FromUs(double us) => Shift(us, -6);

    /// <summary>mA to A.</summary>
    public static double FromMa(double ma) => Shift(ma, -3);

    /// <summary>mV to V.</summary>
    public static double FromMillivolt(double millivolt) => Shift(millivolt, -3);

    /// <summary>mH to H.</summary>
    public static double FromMillihenry(double millihenry) => Shift(millihenry, -3);

    /// <summary>µF to F.</summary>
    public static double FromMicrofarad(double microfarad) => Shift(microfarad, -6);

    /// <summary>cgs acoustic ohm to Pa·s/m³ (1 cgs acoustic ohm = 1e5 Pa·s/m³).</summary>
    public static double FromOhmCgs(double ohmCgs) => Shift(ohmCgs, 5);

    /// <summary>m to mm.</summary>
    public static double ToMm(double m) => Shift(m, 3);

    /// <summary>m³ to mm³.</summary>
    public static double ToMm3(double m3) => Shift(m3, 9);

    /// <summary>F to µF.</summary>
    public static double ToMicrofarad(double farad) => Shift(farad, 6);

    /// <summary>H to mH.</summary>
    public static double ToMillihenry(double henry) => Shift(henry, 3);

    /// <summary>s to µs.</summary>
    public static double ToUs(double seconds) => Shift(seconds, 6);

    /// <summary>V to mV.</summary>
    public static double ToMillivolt(double volt) => Shift(volt, 3);

    /// <summary>Pa·s/m³ to cgs acoustic ohm.</summary>
    public static double ToOhmCgs(double paSPerM3) => Shift(paSPerM3, -5);

    /// <summary>The double nearest to the shortest decimal of <paramref name="value"/> times a power of ten.</summary>
    private static double Shift(double value, int power)
    {
        if (!double.IsFinite(value))
        {
            return value;
        }

        string text = value.ToString("R", CultureInfo.InvariantCulture);
        int e = text.IndexOf('E', StringComparison.Ordinal);
        int exponent = e < 0 ? 0 : int.Parse(text.AsSpan(e + 1), NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture);
        return double.Parse(
            string.Create(CultureInfo.InvariantCulture, $"{(e < 0 ? text : text[..e])}E{exponent + power}"),
            NumberStyles.Float,
            CultureInfo.InvariantCulture);
    }
}
