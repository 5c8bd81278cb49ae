using System.Numerics;

namespace XoverOpt.Acoustics.Tests;

/// <summary>The closed form over ways against one linear system for the whole build, every receiver drawn by itself.</summary>
public class NodalAgreementTests
{
    [Fact]
    public void At_RandomBuilds_SolvesTheNodalEquationsOfTheWholeCircuit()
    {
        double[] frequencies = [20, 150, 1000, 3000, 9000, 18000];
        double worst = 0, worstInside = 0;
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
                for (int i = 0; i < circuit.Meters.Count; i++)
                {
                    (Complex coil, Complex flow) = (x[circuit.Nodes + circuit.Meters[i].Coil], x[circuit.Nodes + circuit.Meters[i].Diaphragm]);
                    string at = $" in way {i} of build {number} at {f} Hz";
                    flow /= EarpieceCircuit.FlowScale;
                    double travel = Math.Sqrt(2) * Complex.Abs(flow) / (omega * build.Earpiece.Ways[i].Receiver.DiaphragmArea);

                    worstInside = Math.Max(worstInside, Complex.Abs(plain.DiaphragmFlow[i] - flow) / Complex.Abs(flow));
                    worstInside = Math.Max(worstInside, Math.Abs(plain.CoilCurrent[i] - Complex.Abs(coil)) / Complex.Abs(coil));
                    Agreement.Relative(flow, plain.DiaphragmFlow[i], 1e-10, "diaphragm flow" + at);
                    Agreement.Relative(travel, plain.ArmatureTravel[i], 1e-10, "armature travel" + at);
                    Agreement.Relative(Complex.Abs(coil), plain.CoilCurrent[i], 1e-10, "coil current" + at);
                }
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"Worst difference in pressure {worst:G3}, inside receivers {worstInside:G3}.");
    }
}
