using System.Numerics;

namespace XoverOpt.Acoustics.Tests;

public class ReceiverTests
{
    private static readonly double[] Frequencies = [20, 100, 500, 1000, 2500, 6000, 12000];

    // F. V. Hunt, Electroacoustics (1954): a magnetic motor is anti-reciprocal. Relative to |AD|, at whose size the difference rounds.
    [Fact]
    public void Matrix_RandomReceivers_HasDeterminantMinusOne()
    {
        foreach ((Receiver receiver, Air air, double omega) in Cases())
        {
            TwoPort chain = receiver.Matrix(omega, air);
            Agreement.Absolute(-1, chain.Determinant, 1e-12 * Math.Max(1, Complex.Abs(chain.A * chain.D)), "determinant");

            TwoPort motor = receiver.Motor(omega, air);
            foreach (Wiring wiring in Enum.GetValues<Wiring>())
            {
                Agreement.Absolute(-1, motor.Alike(3, wiring).Determinant, 1e-12 * Math.Max(1, Complex.Abs(motor.A * motor.D)), $"three in {wiring}");
            }
        }
    }

    // Z_in = Z_e + T_a²/(Z_a + Z_L): N. Kim and J. B. Allen's relation as read in Hearing Research 339 (2016) 213–214.
    [Fact]
    public void Motor_AnyLoad_HasTheInputImpedanceOfHuntsParameters()
    {
        foreach ((Receiver receiver, Air air, double omega) in Cases())
        {
            Complex ta = receiver.ForceFactor / receiver.DiaphragmArea;
            Complex za = receiver.MechanicalImpedance(omega, air) / (receiver.DiaphragmArea * receiver.DiaphragmArea);
            foreach (Complex load in new Complex[] { 0, new(1e7, 0), new(2e7, 3e8), new(0, -5e9) })
            {
                Agreement.Relative(receiver.CoilImpedance(omega) + (ta * ta / (za + load)), Input(receiver.Motor(omega, air), load), 1e-9, "Z_in");
            }
        }
    }

    // The same relation solved for its three unknowns, from what a bench sees under three loads.
    [Fact]
    public void Matrix_ThreeKnownLoads_GiveBackHuntsParameters()
    {
        foreach ((Receiver receiver, Air air, double omega) in Cases())
        {
            TwoPort chain = receiver.Matrix(omega, air);
            Complex za = chain.D / chain.C;
            Complex[] loads = [0, za, -0.5 * za];
            (Complex ze, Complex zaFound, Complex ta2) = Recover([.. loads.Select(load => Input(chain, load))], loads);

            Agreement.Relative(chain.A / chain.C, ze, 1e-9, "Z_e");
            Agreement.Relative(za, zaFound, 1e-9, "Z_a");
            Agreement.Relative(1 / (chain.C * chain.C), ta2, 1e-9, "T_a²");
        }
    }

    // Another program's numbers; see tests/data/hunt_three_load. Written to 11 digits; what half a unit of the last digit does to each
    // parameter is worked out by moving every printed number, and is the tolerance.
    [Fact]
    public void HuntRelation_TabulatedExample_GivesBackTheTabulatedParameters()
    {
        IReadOnlyList<ReferenceTable.Row> rows = ReferenceTable.Read("hunt_three_load", "hunt_three_load_example.csv").Rows;
        Assert.Equal(12, rows.Count);
        foreach (ReferenceTable.Row[] trio in rows.Chunk(3))
        {
            Complex[] inputs = [.. trio.Select(row => row.Complex("Zin"))];
            Complex[] loads = [.. trio.Select(row => new Complex(0, row.Number("ZL_im_Pa_s_m3")))];
            Complex ze = trio[0].Complex("Ze"), za = trio[0].Complex("Za"), ta = trio[0].Complex("Ta");
            for (int i = 0; i < 3; i++)
            {
                Agreement.Relative(ze + (ta * ta / (za + loads[i])), inputs[i], 1e-9, $"Z_in at {trio[i].Text("f_Hz")} Hz");
            }

            (Complex Ze, Complex Za, Complex Ta2) found = Recover(inputs, loads);
            double zeDoubt = 0, zaDoubt = 0, ta2Doubt = 0;
            for (int i = 0; i < 3; i++)
            {
                foreach ((Complex input, Complex load) in new (Complex, Complex)[]
                {
                    (trio[i].HalfDigit("Zin_re"), 0),
                    (new(0, trio[i].HalfDigit("Zin_im")), 0),
                    (0, new(0, trio[i].HalfDigit("ZL_im_Pa_s_m3"))),
                })
                {
                    Complex[] movedInputs = [.. inputs], movedLoads = [.. loads];
                    movedInputs[i] += input;
                    movedLoads[i] += load;
                    (Complex Ze, Complex Za, Complex Ta2) moved = Recover(movedInputs, movedLoads);
                    zeDoubt += Complex.Abs(moved.Ze - found.Ze);
                    zaDoubt += Complex.Abs(moved.Za - found.Za);
                    ta2Doubt += Complex.Abs(moved.Ta2 - found.Ta2);
                }
            }

            string at = $" at {trio[0].Text("f_Hz")} Hz";
            Assert.True(zaDoubt < 1e-3 * Complex.Abs(za), "The table is too coarse to tell anything" + at);
            Agreement.Absolute(ze, found.Ze, zeDoubt + (1e-9 * Complex.Abs(ze)), "Z_e" + at);
            Agreement.Absolute(za, found.Za, zaDoubt + (1e-9 * Complex.Abs(za)), "Z_a" + at);
            Agreement.Absolute(ta * ta, found.Ta2, ta2Doubt + (1e-9 * Complex.Abs(ta * ta)), "T_a²" + at);
        }
    }

    /// <summary>Z_e, Z_a and T_a²: Z_in Z_a − Z_L Z_e − W = −Z_in Z_L is linear in Z_a, Z_e and W = T_a² + Z_e Z_a.</summary>
    private static (Complex Ze, Complex Za, Complex Ta2) Recover(Complex[] inputs, Complex[] loads)
    {
        // Differences of two loads drop W: (Z₁ − Z₀) Z_a − (L₁ − L₀) Z_e = L₀Z₀ − L₁Z₁.
        Complex a = inputs[1] - inputs[0], b = loads[0] - loads[1], e = (loads[0] * inputs[0]) - (loads[1] * inputs[1]);
        Complex c = inputs[2] - inputs[0], d = loads[0] - loads[2], f = (loads[0] * inputs[0]) - (loads[2] * inputs[2]);
        Complex det = (a * d) - (b * c);
        Complex za = ((e * d) - (b * f)) / det, ze = ((a * f) - (e * c)) / det;
        return (ze, za, (inputs[0] - ze) * (za + loads[0]));
    }

    private static Complex Input(TwoPort chain, Complex load) => ((chain.A * load) + chain.B) / ((chain.C * load) + chain.D);

    private static IEnumerable<(Receiver Receiver, Air Air, double Omega)> Cases() =>
        from build in new RandomEarpieces(60).Take(20)
        from way in build.Earpiece.Ways
        from f in Frequencies
        select (way.Receiver, build.Ear.Air, 2 * Math.PI * f);
}
