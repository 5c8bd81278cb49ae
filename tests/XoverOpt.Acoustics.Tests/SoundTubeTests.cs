using System.Numerics;

namespace XoverOpt.Acoustics.Tests;

public class SoundTubeTests
{
    /// <summary>IEC 61094-2:2009, Table F.1, 23 °C, 101 325 Pa, 50 % RH, as printed: the air of the reference tables.</summary>
    internal static readonly Air PrintedAir = new(1.1860848, 345.86652, 1.4007573, 1.826566e-5, 2.115317e-5);

    // IEC 61094-2:2009, Tables B.1 and B.2: open capillary tubes, Z = Z_c tanh Γl.
    [Fact]
    public void Matrix_OpenCapillaries_GivesTheImpedancesOfIec61094()
    {
        ReferenceTable table = ReferenceTable.Read("iec61094_2_capillary", "iec61094_2_capillary_impedance.csv");
        (string Name, double Radius)[] radii = [("1/6mm", 1e-3 / 6), ("0.20mm", 0.20e-3), ("0.25mm", 0.25e-3)];
        int compared = 0;

        foreach (ReferenceTable.Row row in table.Rows)
        {
            double f = row.Number("f_Hz");
            foreach (int lengthMm in new[] { 50, 100 })
            {
                foreach ((string name, double radius) in radii)
                {
                    TwoPort tube = SoundTube.Matrix(2 * Math.PI * f, lengthMm * 1e-3, 2 * radius, PrintedAir);
                    Complex Z = tube.B / tube.D * 1e-9;
                    string column = $"_L{lengthMm}mm_a{name}_GPa_s_m3";
                    double tolerance = 0.0006 + (1e-3 * Z.Magnitude);

                    Agreement.Absolute(row.Number("re" + column), Z.Real, tolerance, $"real part, {lengthMm} mm, {name}, {f} Hz");
                    Agreement.Absolute(row.Number("im" + column), Z.Imaginary, tolerance, $"imaginary part, {lengthMm} mm, {name}, {f} Hz");
                    compared += 2;
                }
            }
        }

        Assert.Equal(372, compared);
    }

    // 30-digit arithmetic, written to 12 digits; see tests/data/tube_two_port.
    [Fact]
    public void Matrix_BoresLengthsAndFrequencies_AgreesWith30DigitTwoPorts()
    {
        ReferenceTable table = ReferenceTable.Read("tube_two_port", "tube_two_port_reference.csv");

        Assert.Equal(90, table.Rows.Count);
        foreach (ReferenceTable.Row row in table.Rows)
        {
            double bore = row.Number("d_mm") * 1e-3, length = row.Number("l_mm") * 1e-3, omega = 2 * Math.PI * row.Number("f_Hz");
            (Complex gamma, Complex zc) = SoundTube.Line(omega, bore, PrintedAir);
            TwoPort tube = SoundTube.Matrix(omega, length, bore, PrintedAir);
            string at = $" at {row.Text("d_mm")} mm × {row.Text("l_mm")} mm, {row.Text("f_Hz")} Hz";

            Agreement.Relative(new Complex(row.Number("Gamma_re_per_m"), row.Number("Gamma_im_per_m")), gamma, 1e-9, "Γ" + at);
            Agreement.Relative(row.Complex("Zc"), zc, 1e-9, "Z_c" + at);
            Agreement.Relative(row.Complex("A"), tube.A, 1e-9, "A" + at);
            Agreement.Relative(row.Complex("B"), tube.B, 1e-9, "B" + at);
            Agreement.Relative(row.Complex("C"), tube.C, 1e-9, "C" + at);
            Agreement.Relative(row.Complex("A"), tube.D, 1e-9, "D" + at);
        }
    }

    // Poiseuille flow: resistance 8η/(πa⁴) and, since the parabolic profile carries 4/3 of the plug's kinetic energy, mass 4ρ/(3S).
    // Heat flows freely to the wall: isothermal compliance γS/(ρc²). Closed forms, e.g. IEC 61094-2 Annex B and any acoustics textbook.
    [Fact]
    public void Line_NarrowBoreAtLowFrequency_IsPoiseuilleFlowAndIsothermal()
    {
        const double omega = 1e-2, a = 0.05e-3, S = Math.PI * a * a;
        Air air = Air.At();
        (Complex gamma, Complex zc) = SoundTube.Line(omega, 2 * a, air);
        Complex z = gamma * zc, y = gamma / zc;

        Agreement.Relative(8 * air.Viscosity / (Math.PI * Math.Pow(a, 4)), z.Real, 1e-9, "resistance");
        Agreement.Relative(4.0 / 3 * air.Density / S, z.Imaginary / omega, 1e-9, "mass");
        Agreement.Relative(air.HeatRatio * S / air.BulkModulus, y.Imaginary / omega, 1e-9, "compliance");
    }

    [Fact]
    public void Line_WideBore_IsThePlaneWaveOfFreeAir()
    {
        const double omega = 2 * Math.PI * 10e3, bore = 20;
        Air air = Air.At();
        (Complex gamma, Complex zc) = SoundTube.Line(omega, bore, air);

        Agreement.Relative(new Complex(0, omega / air.SoundSpeed), gamma, 1e-5, "Γ");
        Agreement.Relative(air.Density * air.SoundSpeed / (Math.PI * bore * bore / 4), zc, 1e-5, "Z_c");
    }

    // D. H. Keefe, J. Acoust. Soc. Am. 75 (1984) 58: series for large r; coefficients from memory, so this is a second look only. The
    // 30-digit two-ports are the ground.
    [Theory]
    [InlineData(1.0e-3)]
    [InlineData(1.5e-3)]
    [InlineData(2.0e-3)]
    [InlineData(3.0e-3)]
    public void Line_WideAgainstTheBoundaryLayer_AttenuatesLikeKeefesSeries(double bore)
    {
        Air air = Air.At();
        foreach (double r in new[] { 10.0, 14.0, 20.0, 40.0, 80.0 })
        {
            double a = bore / 2, omega = r * r * air.Viscosity / (air.Density * a * a);
            double alpha = omega / air.SoundSpeed * ((1.045 / r) + (1.080 / (r * r)) + (0.750 / (r * r * r)));

            Agreement.Relative(alpha, SoundTube.Line(omega, bore, air).Gamma.Real, 0.01, $"attenuation at r = {r}");
        }
    }

    [Fact]
    public void Matrix_AnyTube_IsReciprocalPassiveAndChainsByLength()
    {
        Air air = Air.At();
        foreach (double bore in new[] { 0.3e-3, 0.8e-3, 1.5e-3, 3e-3 })
        {
            foreach (double f in new[] { 5.0, 20, 100, 1e3, 5e3, 20e3, 80e3 })
            {
                double omega = 2 * Math.PI * f;
                TwoPort tube = SoundTube.Matrix(omega, 23e-3, bore, air);
                TwoPort pieces = SoundTube.Matrix(omega, 15e-3, bore, air) * SoundTube.Matrix(omega, 8e-3, bore, air);
                string at = $" at {bore} m, {f} Hz";

                Agreement.Absolute(1, tube.Determinant, 1e-9 * Math.Max(1, Complex.Abs(tube.A * tube.D)), "AD − BC" + at);
                Agreement.Relative(tube.A, pieces.A, 1e-9, "A" + at);
                Agreement.Relative(tube.B, pieces.B, 1e-9, "B" + at);
                Agreement.Relative(tube.C, pieces.C, 1e-9, "C" + at);

                // Loaded by an open end, a wall or a resistance, the tube takes power.
                Assert.True((tube.B / tube.D).Real > 0, "open" + at);
                Assert.True((tube.A / tube.C).Real > 0, "closed" + at);
                Assert.True((((tube.A * 5e7) + tube.B) / ((tube.C * 5e7) + tube.D)).Real > 0, "loaded" + at);
            }
        }
    }

    [Fact]
    public void Matrix_NegativeFrequency_IsTheConjugate()
    {
        TwoPort forward = SoundTube.Matrix(9000, 0.02, 0.001, Air.At()), backward = SoundTube.Matrix(-9000, 0.02, 0.001, Air.At());

        Agreement.Relative(Complex.Conjugate(forward.A), backward.A, 1e-14);
        Agreement.Relative(Complex.Conjugate(forward.B), backward.B, 1e-14);
        Agreement.Relative(Complex.Conjugate(forward.C), backward.C, 1e-14);
    }

    [Fact]
    public void Matrix_NoLength_IsNothing() => Assert.Equal(TwoPort.Identity, SoundTube.Matrix(1000, 0, 1e-3, Air.At()));
}
