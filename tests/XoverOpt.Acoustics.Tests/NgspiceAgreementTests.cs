using System.Numerics;

namespace XoverOpt.Acoustics.Tests;

/// <summary>Whole builds against ngspice, with tubes lumped alike in both.</summary>
public class NgspiceAgreementTests
{
    [Fact]
    public void At_RandomLumpedBuilds_AgreesWithNgspice()
    {
        Build[] builds = [.. new RandomEarpieces(50, lumpedCoils: true).Take(60)];
        var circuits = new List<EarpieceCircuit>();
        foreach (Build build in builds)
        {
            circuits.Add(new EarpieceCircuit(build, lumped: true, circuits.LastOrDefault()?.Nodes ?? 0, circuits.LastOrDefault()?.Sources ?? 0));
        }

        IReadOnlyDictionary<string, Complex[]> ngspice = Ngspice.Run(circuits);
        Complex[] frequencies = ngspice["frequency"];
        Assert.True(frequencies.Length >= 10);
        double worstPressure = 0, worstImpedance = 0;
        for (int b = 0; b < builds.Length; b++)
        {
            (Build build, EarpieceCircuit circuit) = (builds[b], circuits[b]);
            for (int k = 0; k < frequencies.Length; k++)
            {
                double f = frequencies[k].Real;
                PlainResponse plain = PlainResponse.At(build.Earpiece, build.Ear, build.Source, 2 * Math.PI * f, EarpieceCircuit.LumpedTube);
                Complex pressure = ngspice[$"v({circuit.Drum})"][k];
                Complex impedance = ngspice[$"v({circuit.Socket})"][k] / -ngspice[$"i(v{circuit.Meter})"][k];

                worstPressure = Math.Max(worstPressure, Complex.Abs(plain.DrumPressure - pressure) / Complex.Abs(pressure));
                worstImpedance = Math.Max(worstImpedance, Complex.Abs(plain.SocketImpedance - impedance) / Complex.Abs(impedance));
                Agreement.Relative(pressure, plain.DrumPressure, 1e-6, $"pressure of build {b} at {f:G6} Hz");
                Agreement.Relative(impedance, plain.SocketImpedance, 1e-6, $"impedance of build {b} at {f:G6} Hz");
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"Worst difference in pressure {worstPressure:G3}, in impedance {worstImpedance:G3}.");
    }
}
