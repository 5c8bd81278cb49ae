using System.Numerics;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Tests;

namespace XoverOpt.Search.Tests;

public class HuntRecoveryTests
{
    /// <summary>
    /// Another program's numbers, printed to 11 digits; see tests/data/hunt_three_load. What half a unit of each printed digit does to a parameter is
    /// worked out by moving it and added to 1e-9.
    /// </summary>
    [Fact]
    public void Of_TabulatedExample_GivesTheTabulatedParameters()
    {
        foreach (ReferenceTable.Row[] trio in ReferenceTable.Read("hunt_three_load", "hunt_three_load_example.csv").Rows.Chunk(3))
        {
            Complex[] inputs = [.. trio.Select(row => row.Complex("Zin"))], loads = [.. trio.Select(row => new Complex(0, row.Number("ZL_im_Pa_s_m3")))];
            Complex ze = trio[0].Complex("Ze"), za = trio[0].Complex("Za"), ta = trio[0].Complex("Ta");
            HuntRecovery found = HuntRecovery.Of(inputs, loads)!.Value;
            double zeDoubt = 1e-9 * Complex.Abs(ze), zaDoubt = 1e-9 * Complex.Abs(za), taDoubt = 1e-9 * Complex.Abs(ta * ta);
            for (int i = 0; i < 3; i++)
            {
                Assert.Equal(0, Complex.Abs((found.Ze + (found.TaSquare / (found.Za + loads[i]))) / inputs[i] - 1), 1e-9);
                foreach ((Complex input, Complex load) in new (Complex, Complex)[] { (trio[i].HalfDigit("Zin_re"), 0), (new(0, trio[i].HalfDigit("Zin_im")), 0), (0, new(0, trio[i].HalfDigit("ZL_im_Pa_s_m3"))) })
                {
                    Complex[] movedInputs = [.. inputs], movedLoads = [.. loads];
                    (movedInputs[i], movedLoads[i]) = (movedInputs[i] + input, movedLoads[i] + load);
                    HuntRecovery moved = HuntRecovery.Of(movedInputs, movedLoads)!.Value;
                    zeDoubt += Complex.Abs(moved.Ze - found.Ze);
                    zaDoubt += Complex.Abs(moved.Za - found.Za);
                    taDoubt += Complex.Abs(moved.TaSquare - found.TaSquare);
                }
            }

            Assert.InRange(zaDoubt / Complex.Abs(za), 0, 1e-3);
            Assert.InRange(Complex.Abs(found.Ze - ze), 0, zeDoubt);
            Assert.InRange(Complex.Abs(found.Za - za), 0, zaDoubt);
            Assert.InRange(Complex.Abs(found.TaSquare - (ta * ta)), 0, taDoubt);
        }
    }

    /// <summary>N. Kim and J. B. Allen's relation for the whole receiver: Z_e = A/C, Z_a = D/C, T_a² = 1/C² of its chain; with and without a wall.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Of_ReceiversOfTheDrawer_GivesTheirChains(bool wall)
    {
        foreach (Receiver receiver in SimulatedBench.Drawer())
        {
            foreach (double f in new[] { 50.0, 800, 3000, 9000 })
            {
                TwoPort chain = receiver.Matrix(2 * Math.PI * f, SimulatedBench.Air);
                Complex za = chain.D / chain.C;
                Complex[] loads = [0, wall ? new Complex(double.PositiveInfinity, 0) : za, -0.5 * za];
                Complex[] inputs = [.. loads.Select(load => Complex.IsFinite(load) ? ((chain.A * load) + chain.B) / ((chain.C * load) + chain.D) : chain.A / chain.C)];
                HuntRecovery found = HuntRecovery.Of(inputs, loads)!.Value;
                Assert.Equal(0, Complex.Abs((found.Ze / (chain.A / chain.C)) - 1), 1e-9);
                Assert.Equal(0, Complex.Abs((found.Za / za) - 1), 1e-9);
                Assert.Equal(0, Complex.Abs((found.TaSquare * chain.C * chain.C) - 1), 1e-9);
            }
        }
    }

    /// <summary>Impedances by the plain evaluation under the loads as they are stated: the loads' own impedances must be theirs for this to come out.</summary>
    [Fact]
    public void HuntCurve_ThreeLoadsOfTheBench_GivesTheReceiversChain()
    {
        Receiver receiver = SimulatedBench.Drawer().First(one => one.PartNumber == "OS-M2");
        AcousticLoad[] loads = [SimulatedBench.ShortTube, SimulatedBench.Coupler, SimulatedBench.EarTube];
        HuntCurve curve = HuntCurve.Of(new()
        {
            PartNumber = "one",
            Noise = SimulatedBench.Noise,
            Air = SimulatedBench.Air,
            Measurements = [.. loads.Select(load => new ReceiverMeasurement
            {
                Load = load,
                DriveVoltage = 0.1,
                Curve = MeasuredCurve.Of(
                    "one", SimulatedBench.Hz, SimulatedBench.Pressure(receiver, load, 0.1, 0), SimulatedBench.Responses(receiver, load, 0.1, 0, SimulatedBench.Hz, (_, z) => z)),
            })],
        })!;

        Assert.Equal(SimulatedBench.Hz.Length, curve.Hz.Count);
        foreach ((double f, HuntRecovery found) in curve.Hz.Zip(curve.Found).Where(at => at.First > 200))
        {
            TwoPort chain = receiver.Matrix(2 * Math.PI * f, SimulatedBench.Air);
            Assert.Equal(0, Complex.Abs((found.Ze / (chain.A / chain.C)) - 1), 1e-6);
            Assert.Equal(0, Complex.Abs((found.Za * chain.C / chain.D) - 1), 1e-6);
            Assert.Equal(0, Complex.Abs((found.TaSquare * chain.C * chain.C) - 1), 1e-6);
        }
    }

    [Fact]
    public void Of_LoadsThatDoNotDiffer_GivesNothing() => Assert.Null(HuntRecovery.Of([10, 10, 10], [1e8, 1e8, 1e8]));
}
