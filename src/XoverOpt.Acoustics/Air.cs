using static System.Math;

namespace XoverOpt.Acoustics;

/// <summary>The properties of air that sound in small tubes needs.</summary>
/// <param name="Density">ρ, kg/m³.</param>
/// <param name="SoundSpeed">c, m/s, zero-frequency value.</param>
/// <param name="HeatRatio">γ, ratio of specific heats.</param>
/// <param name="Viscosity">η, Pa·s.</param>
/// <param name="ThermalDiffusivity">α_t, m²/s.</param>
public readonly record struct Air(double Density, double SoundSpeed, double HeatRatio, double Viscosity, double ThermalDiffusivity)
{
    /// <summary>Lowest temperature, °C, the formulas of <see cref="At"/> are stated for.</summary>
    public const double StatedFromC = 15;

    /// <summary>Highest temperature, °C, the formulas of <see cref="At"/> are stated for; above it they are extrapolated.</summary>
    public const double StatedToC = 27;

    /// <summary>ρc², Pa: what a small closed volume pushes back with.</summary>
    public double BulkModulus => Density * SoundSpeed * SoundSpeed;

    /// <summary>
    /// Humid air by IEC 61094-2:2009, Annex F.
    /// <code>
    /// t    temperature, °C          T    273.15 + t, K           p    static pressure, Pa
    /// h    relative humidity, %     x_w  mole fraction of water  x_c  mole fraction of CO₂, 0.0004
    /// Z    compressibility factor   κ    thermal conductivity, W/(m·K)
    /// c_p  specific heat at constant pressure, J/(kg·K)          α_t = κ/(ρ c_p)
    /// </code>
    /// The default climate is that of the occluded-ear simulator standard. Stated for 15 °C to 27 °C; up to 40 °C (air in an ear
    /// canal) the same formulas are an extrapolation.
    /// </summary>
    /// <param name="temperatureC">t, °C.</param>
    /// <param name="pressurePa">p, Pa.</param>
    /// <param name="humidityPercent">h, %.</param>
    public static Air At(double temperatureC = 23, double pressurePa = 101325, double humidityPercent = 50)
    {
        const double x_c = 0.0004;
        double t = temperatureC, T = 273.15 + t, p = pressurePa;

        double p_sv = Exp((1.2378847e-5 * T * T) - (1.9121316e-2 * T) + 33.93711047 - (6343.1645 / T));
        double enhancement = 1.00062 + (3.14e-8 * p) + (5.6e-7 * t * t);
        double x_w = humidityPercent / 100 * (p_sv / p) * enhancement;

        double virial = 1.58123e-6 - (2.9331e-8 * t) + (1.1043e-10 * t * t)
            + ((5.707e-6 - (2.051e-8 * t)) * x_w)
            + ((1.9898e-4 - (2.376e-6 * t)) * x_w * x_w);
        double Z = 1 - (p / T * virial) + (p / T * (p / T) * (1.83e-11 - (0.765e-8 * x_w * x_w)));
        double rho = (3.483740 + (1.4446 * (x_c - 0.0004))) * 1e-3 * p / (Z * T) * (1 - (0.3780 * x_w));

        double c = Fit(SpeedCoefficients, t, p, x_w, x_c);
        double gamma = Fit(HeatRatioCoefficients, t, p, x_w, x_c);

        double eta = (84.986 + (7.0 * T) + ((113.157 - T) * x_w) - (3.7501e-3 * T * T) - (100.015 * x_w * x_w)) * 1e-8;
        double kappa = 4186.8e-8 * (60.054 + (1.846 * T) + (2.06e-6 * T * T) + ((40 - (1.775e-4 * T)) * x_w));
        double c_p = 4186.8 * (0.251625 - (9.2525e-5 * T) + (2.1334e-7 * T * T) - (1.0043e-10 * T * T * T)
            + ((0.12477 - (2.283e-5 * T) + (1.267e-7 * T * T)) * x_w)
            + ((0.01116 + (4.61e-6 * T) + (1.74e-8 * T * T)) * x_w * x_w));

        return new Air(rho, c, gamma, eta, kappa / (rho * c_p));
    }

    private static ReadOnlySpan<double> SpeedCoefficients =>
    [
        331.5024, 0.603055, -0.000528, 51.471935, 0.1495874, -0.000782, -1.82e-7, 3.73e-8,
        -2.93e-10, -85.20931, -0.228525, 5.91e-5, -2.835149, -2.15e-13, 29.179762, 0.000486,
    ];

    private static ReadOnlySpan<double> HeatRatioCoefficients =>
    [
        1.400822, -1.75e-5, -1.73e-7, -0.0873629, -1.665e-4, -3.26e-6, 2.047e-8, -1.26e-10,
        5.939e-14, -0.1199717, -8.693e-4, 1.979e-6, -0.01104, -3.478e-16, 0.0450616, 1.82e-6,
    ];

    /// <summary>The polynomial Annex F uses for both the speed of sound and the ratio of specific heats.</summary>
    private static double Fit(ReadOnlySpan<double> a, double t, double p, double x_w, double x_c) =>
        a[0] + (a[1] * t) + (a[2] * t * t)
        + ((a[3] + (a[4] * t) + (a[5] * t * t)) * x_w)
        + ((a[6] + (a[7] * t) + (a[8] * t * t)) * p)
        + ((a[9] + (a[10] * t) + (a[11] * t * t)) * x_c)
        + (a[12] * x_w * x_w) + (a[13] * p * p) + (a[14] * x_c * x_c) + (a[15] * x_w * p * x_c);
}
