namespace XoverOpt.Workshop;

/// <summary>
/// Units as files bear them, to and from SI. Every reader and writer converts here and nowhere else: into SI always by one and the
/// same correctly rounded operation, so that one number in a file is always one and the same double inside. Powers of ten that a
/// double holds exactly (up to 1e22) are used as divisors, which is exact to half a unit in the last place; multiplying by 1e-3
/// would round twice.
/// </summary>
public static class Units
{
    /// <summary>Millimetres, milligrams… 1e-3; mg to kg is <see cref="Micro"/>.</summary>
    private const double Milli = 1e3;

    /// <summary>1e-6.</summary>
    private const double Micro = 1e6;

    /// <summary>mm to m.</summary>
    public static double FromMm(double mm) => mm / Milli;

    /// <summary>mm² to m².</summary>
    public static double FromMm2(double mm2) => mm2 / Micro;

    /// <summary>mm³ to m³.</summary>
    public static double FromMm3(double mm3) => mm3 / 1e9;

    /// <summary>mm/N to m/N.</summary>
    public static double FromMmPerN(double mmPerN) => mmPerN / Milli;

    /// <summary>mg to kg.</summary>
    public static double FromMg(double mg) => mg / Micro;

    /// <summary>µm to m.</summary>
    public static double FromUm(double um) => um / Micro;

    /// <summary>µs to s.</summary>
    public static double FromUs(double us) => us / Micro;

    /// <summary>mA to A.</summary>
    public static double FromMa(double ma) => ma / Milli;

    /// <summary>mV to V.</summary>
    public static double FromMillivolt(double mv) => mv / Milli;

    /// <summary>mH to H.</summary>
    public static double FromMillihenry(double mh) => mh / Milli;

    /// <summary>µF to F.</summary>
    public static double FromMicrofarad(double uf) => uf / Micro;

    /// <summary>cgs acoustic ohm to Pa·s/m³ (1 cgs acoustic ohm = 1e5 Pa·s/m³).</summary>
    public static double FromOhmCgs(double ohmCgs) => ohmCgs * 1e5;

    /// <summary>m to mm, the shortest decimal that <see cref="FromMm"/> takes back to the same double.</summary>
    public static double ToMm(double m) => Back(m, m * Milli, FromMm);

    /// <summary>m³ to mm³, as <see cref="ToMm"/>.</summary>
    public static double ToMm3(double m3) => Back(m3, m3 * 1e9, FromMm3);

    /// <summary>F to µF, as <see cref="ToMm"/>.</summary>
    public static double ToMicrofarad(double farad) => Back(farad, farad * Micro, FromMicrofarad);

    /// <summary>H to mH, as <see cref="ToMm"/>.</summary>
    public static double ToMillihenry(double henry) => Back(henry, henry * Milli, FromMillihenry);

    /// <summary>s to µs, as <see cref="ToMm"/>.</summary>
    public static double ToUs(double seconds) => Back(seconds, seconds * Micro, FromUs);

    /// <summary>V to mV, as <see cref="ToMm"/>.</summary>
    public static double ToMillivolt(double volt) => Back(volt, volt * Milli, FromMillivolt);

    /// <summary>Pa·s/m³ to cgs acoustic ohm, as <see cref="ToMm"/>.</summary>
    public static double ToOhmCgs(double paSPerM3) => Back(paSPerM3, paSPerM3 / 1e5, FromOhmCgs);

    /// <summary>
    /// The number near <paramref name="guess"/> with fewest digits that converts back to <paramref name="si"/>. A value that came
    /// from a file therefore goes back as it stood there. Where no double near the guess converts back (possible for values
    /// computed in SI only), the guess itself.
    /// </summary>
    private static double Back(double si, double guess, Func<double, double> from)
    {
        if (!double.IsFinite(guess) || guess == 0)
        {
            return guess;
        }

        for (int digits = 1; digits <= 17; digits++)
        {
            double rounded = double.Parse(guess.ToString("E" + (digits - 1), Culture), Culture);
            if (from(rounded) == si)
            {
                return rounded;
            }
        }

        double below = Math.BitDecrement(guess), above = Math.BitIncrement(guess);
        return from(below) == si ? below : from(above) == si ? above : guess;
    }

    private static System.Globalization.CultureInfo Culture => System.Globalization.CultureInfo.InvariantCulture;
}
