using System.Numerics;
using static XoverOpt.Acoustics.SectionPlace;

namespace XoverOpt.Acoustics.Tests;

/// <summary>Textbook ladders into a resistor, at 1 kHz into 32 Ω.</summary>
public class NetworkSectionTests
{
    private const double Load = 32;
    private const double Corner = 1000;

    // Closed forms of the component values (ω₀ = 1, R = 1), from the pole polynomials of Butterworth (1930) and Linkwitz (1976).
    [Fact]
    public void Components_TabulatedValues_AreTheClosedForms()
    {
        double root2 = Math.Sqrt(2);
        (string Name, double[] Values)[] lowPasses =
        [
            ("BW1", [1]), ("BW2", [root2, root2 / 2]), ("BW3", [1.5, 4.0 / 3, 0.5]), ("LR2", [2, 0.5]),
            ("LR4", [4 * root2 / 3, 9 * root2 / 8, 2 * root2 / 3, root2 / 4]),
        ];
        foreach ((string name, double[] values) in lowPasses)
        {
            ReferenceTable.Row[] rows = Components(name);
            Assert.Equal(values.Length, rows.Length);
            for (int i = 0; i < values.Length; i++)
            {
                Assert.Equal(values[i], rows[i].Number("LP_value_norm(w=1,R=1)"), 5.1e-10);
                Assert.Equal(1 / values[i], rows[i].Number("HP_value_norm"), 5.1e-10);
            }
        }
    }

    // See tests/data/crossovers: levels of both branches and their sum. The high-pass of LR2 is turned over, as is usual.
    [Theory]
    [InlineData("LR2", "LR2", -1)]
    [InlineData("LR4", "LR4", 1)]
    [InlineData("BW1", "BW1", 1)]
    [InlineData("BW3", "BW3", 1)]
    [InlineData("BW2 inverted HP", "BW2", -1)]
    [InlineData("BW2 in phase", "BW2", 1)]
    public void Matrix_LowAndHighPassLadders_GiveTheTabulatedLevelsAndSums(string row, string alignment, int sign)
    {
        ReferenceTable.Row[] rows = [.. ReferenceTable.Read("crossovers", "crossover_sum.csv").Rows.Where(r => r.Text("alignment") == row)];

        Assert.Equal(8, rows.Length);
        foreach (ReferenceTable.Row expected in rows)
        {
            double f = expected.Number("f/f0") * Corner;
            Complex low = Output(LowPass(alignment), f), high = Output(HighPass(alignment), f), sum = low + (sign * high);
            Agreement.Absolute(expected.Number("LP_dB"), Agreement.Decibel(low), 1e-6, $"low-pass at {f} Hz");
            Agreement.Absolute(expected.Number("HP_dB"), Agreement.Decibel(high), 1e-6, $"high-pass at {f} Hz");
            if (expected.Number("sum_dB") < -900)
            {
                // Opposite and equal: nothing is left but the ninth decimal of the component values.
                Agreement.Absolute(0, sum, 1e-8, $"sum at {f} Hz");
                continue;
            }

            Agreement.Absolute(expected.Number("sum_dB"), Agreement.Decibel(sum), 1e-6, $"sum at {f} Hz");
            Agreement.Absolute(0, Agreement.AngleBetween(expected.Number("sum_phase_deg"), Agreement.Degrees(sum)), 1e-5, $"phase at {f} Hz");
        }
    }

    // Half power for Butterworth, half pressure for Linkwitz–Riley (S. H. Linkwitz, J. Audio Eng. Soc. 24 (1976) 2), both at the corner.
    [Theory]
    [InlineData("BW1", 0.5)]
    [InlineData("BW2", 0.5)]
    [InlineData("BW3", 0.5)]
    [InlineData("BW4", 0.5)]
    [InlineData("LR2", 0.25)]
    [InlineData("LR4", 0.25)]
    [InlineData("Bessel2(-3dB)", 0.5)]
    [InlineData("Bessel3(-3dB)", 0.5)]
    [InlineData("Bessel4(-3dB)", 0.5)]
    public void Matrix_LadderAtItsCorner_IsThreeOrSixDecibelDown(string alignment, double power)
    {
        Agreement.Absolute(10 * Math.Log10(power), Agreement.Decibel(Output(LowPass(alignment), Corner)), 1e-6, "low-pass");
        Agreement.Absolute(10 * Math.Log10(power), Agreement.Decibel(Output(HighPass(alignment), Corner)), 1e-6, "high-pass");
    }

    // The LR4 sum is the second-order all-pass of Q = 1/√2 in phase −2 arg(1 − x² + j√2 x): group delay 2√2/ω₀ at the corner and its
    // peak (2 + √2)/ω₀ at x = √(√2 − 1).
    [Fact]
    public void Matrix_FourthOrderLinkwitzRileySum_DelaysByTheClosedForm()
    {
        Agreement.Absolute(450.158e-6, Delay(Corner), 0.0005e-6, "delay at the corner");
        Agreement.Relative(2 * Math.Sqrt(2) / (2 * Math.PI * Corner), Delay(Corner), 1e-6, "delay at the corner");
        double peak = Enumerable.Range(300, 1200).Max(f => Delay(f));
        double at = Corner * Math.Sqrt(Math.Sqrt(2) - 1);
        Agreement.Absolute(543.389e-6, Delay(at), 0.0005e-6, "peak delay");
        Assert.InRange(peak, Delay(at) * (1 - 1e-6), Delay(at) * (1 + 1e-9));

        static double Delay(double f)
        {
            double step = 1e-3 * f;
            double Between(int n) => (Sum(f - (n * step)) / Sum(f + (n * step))).Phase;
            return ((45 * Between(1)) - (9 * Between(2)) + Between(3)) / (60 * 2 * Math.PI * step);
        }

        static Complex Sum(double f) => Output(LowPass("LR4"), f) + Output(HighPass("LR4"), f);
    }

    // Textbook L-pad: R_s = R(1 − k), R_p = R k/(1 − k), k = 10^(−dB/20).
    [Fact]
    public void Matrix_LPadOfSixDecibel_KeepsTheImpedanceAndTakesSixDecibel()
    {
        double k = Math.Pow(10, -6.0 / 20), series = 16 * (1 - k), shunt = 16 * k / (1 - k);
        TwoPort pad = new NetworkSection(Series, Resistance: series).Matrix(1000) * new NetworkSection(Shunt, Resistance: shunt).Matrix(1000);

        Assert.Equal(7.981004, series, 1e-6);
        Assert.Equal(16.076164, shunt, 1e-6);
        Agreement.Relative(16, Input(pad, 16), 1e-12, "input impedance");
        Agreement.Absolute(-6, Agreement.Decibel(16 / ((pad.A * 16) + pad.B)), 1e-12, "level");
    }

    // Textbook Zobel (Boucherot) cell across R_e + jωL: R = R_e and C = L/R_e² make the input R_e at every frequency.
    [Fact]
    public void Matrix_ZobelAcrossACoil_LeavesItsResistance()
    {
        const double re = 24, l = 3.3e-3;
        var zobel = new NetworkSection(Shunt, Resistance: re, Capacitance: l / (re * re));
        var coil = new NetworkSection(Series, Inductance: l, CoilDcr: re);
        for (double f = 1; f < 1e6; f *= 3)
        {
            double omega = 2 * Math.PI * f;
            Agreement.Relative(re, Input(zobel.Matrix(omega) * coil.Matrix(omega), 0), 1e-12, $"input at {f} Hz");
        }
    }

    private static Complex Input(TwoPort chain, Complex load) => ((chain.A * load) + chain.B) / ((chain.C * load) + chain.D);

    private static ReferenceTable.Row[] Components(string alignment) =>
        [.. ReferenceTable.Read("crossovers", "crossover_components.csv").Rows.Where(row => row.Text("alignment") == alignment)];

    private static IEnumerable<NetworkSection> LowPass(string alignment) =>
        Components(alignment).Select(row => Section(row.Text("LP_element"), row.Text("LP_arm"), row.Number("LP_value_norm(w=1,R=1)")));

    // The arms of the high-pass are those of the low-pass.
    private static IEnumerable<NetworkSection> HighPass(string alignment) =>
        Components(alignment).Select(row => Section(row.Text("HP_element"), row.Text("LP_arm"), row.Number("HP_value_norm")));

    private static NetworkSection Section(string element, string arm, double normalised)
    {
        const double corner = 2 * Math.PI * Corner;
        SectionPlace place = arm == "series" ? Series : Shunt;
        return element == "L"
            ? new NetworkSection(place, Inductance: normalised * Load / corner)
            : new NetworkSection(place, Capacitance: normalised / (Load * corner));
    }

    /// <summary>Voltage at the load per volt of the source.</summary>
    private static Complex Output(IEnumerable<NetworkSection> ladder, double f)
    {
        TwoPort chain = ladder.Aggregate(TwoPort.Identity, (sum, section) => sum * section.Matrix(2 * Math.PI * f));
        return Load / ((chain.A * Load) + chain.B);
    }
}
