using System.Numerics;

namespace XoverOpt.Acoustics.Tests;

/// <summary>The closed form over ways against one linear system for the whole build, every receiver drawn by itself.</summary>
public class NodalAgreementTests
{
    [Fact]
    public void At_RandomBuilds_SolvesTheNodalEquationsOfTheWholeCircuit()
    {
        double[] frequencies = [20, 150, 1000, 3000, 9000, 18000];
        double worst = 0;
        foreach ((Build build, int number) in new RandomEarpieces(40).Take(30).Select((build, number) => (build, number)))
        {
            var circuit = new EarpieceCircuit(build, lumped: false);
            foreach (double f in frequencies)
            {
                double omega = 2 * Math.PI * f;
                PlainResponse plain = PlainResponse.At(build.Earpiece, build.Ear, build.Source, omega);
                Complex[] x = NodalEquations.Solve(circuit, omega, build.Ear.Air);
                Complex impedance = x[circuit.Socket] / -x[circuit.Nodes + circuit.Meter];
                double size = plain.Shares.Sum(Complex.Abs);

                // Relative to Σ|shares|: where ways cancel, rounding is of the size of the terms.
                worst = Math.Max(worst, Complex.Abs(x[circuit.Drum] - plain.DrumPressure) / size);
                Agreement.Absolute(x[circuit.Drum], plain.DrumPressure, 1e-10 * size, $"pressure of build {number} at {f} Hz");
                Agreement.Relative(x[circuit.Socket], plain.SocketVoltage, 1e-10, $"socket voltage of build {number} at {f} Hz");
                Agreement.Relative(impedance, plain.SocketImpedance, 1e-10, $"impedance of build {number} at {f} Hz");
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"Worst difference in pressure {worst:G3}.");
    }
}
