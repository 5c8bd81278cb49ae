using System.Globalization;
using System.Numerics;
using System.Text;
using XoverOpt.Acoustics;

namespace XoverOpt.Workshop.Tests;

/// <summary>Units that are not what the heading says, on curves of the drawer's receivers, simulated one frequency at a time.</summary>
public class MeasuredUnitsTests
{
    private static readonly double[] Hz = [.. Enumerable.Range(-68, 120).Select(k => 1000 * Math.Pow(2, k / 12.0)).Where(f => f <= 20_000)];

    /// <summary>No false alarm on any receiver of the drawer, wrapped or unwrapped, with some delay on top.</summary>
    [Theory]
    [InlineData(0, 0)]
    [InlineData(0.0005, 0)]
    [InlineData(0, 1)]
    [InlineData(0.0005, 1)]
    public void Parse_EveryReceiverInItsOwnUnits_RaisesNoDoubt(double delay, double noise)
    {
        // Even noise with the spread of 0.2 dB, 1° and 0.5 %.
        Search.Random64 random = new(8);
        double Noise(double sigma) => noise * sigma * Math.Sqrt(12) * (random.NextDouble() - 0.5);
        foreach (Receiver receiver in Drawer())
        {
            (Complex P, Complex Z)[] curve = Curve(receiver);
            string[] faults = Faults("hz,spl_db,phase_deg,impedance_ohm,impedance_phase_deg", k => [
                Hz[k], Db(curve[k].P) + Noise(0.2), Degrees(curve[k].P * Complex.FromPolarCoordinates(1, -2 * Math.PI * Hz[k] * delay)) + Noise(1),
                curve[k].Z.Magnitude * (1 + Noise(0.005)), Degrees(curve[k].Z) + Noise(1)]);
            Assert.True(faults.Length == 0, $"{receiver.PartNumber}: {string.Join('\n', faults)}");
        }
    }

    [Theory]
    [InlineData("khz", "They look like kHz")]
    [InlineData("rad/s", "They look like rad/s")]
    [InlineData("phase in radians", "They look like radians")]
    [InlineData("unwrapped phase in radians", "They look like radians")]
    [InlineData("pascal", "They look like pascal")]
    [InlineData("millipascal", "on a linear scale")]
    [InlineData("dB re 1 Pa", "add 94 dB")]
    [InlineData("kilohm", "They look like kΩ")]
    [InlineData("ohm in dB", "They look like dB re 1 Ω")]
    [InlineData("impedance phase in radians", "They look like radians")]
    [InlineData("reactance", "never 0 or less")]
    public void Parse_AUnitThatIsWrong_IsNoticedWithItsEvidence(string wrong, string said)
    {
        int noticed = 0, all = 0;
        List<string> missed = [];
        foreach (Receiver receiver in Drawer())
        {
            (Complex P, Complex Z)[] curve = Curve(receiver);
            double turned = 0;
            string[] faults = Faults("hz,spl_db,phase_deg,impedance_ohm,impedance_phase_deg", k =>
            {
                (Complex p, Complex z) = curve[k];
                turned -= k > 0 ? 2 * Math.PI * Math.Round((p.Phase - curve[k - 1].P.Phase) / (2 * Math.PI)) : 0;
                double[] row = [Hz[k], Db(p), Degrees(p), z.Magnitude, Degrees(z)];
                (int At, double Value) = wrong switch
                {
                    "khz" => (0, Hz[k] / 1000),
                    "rad/s" => (0, Hz[k] * 2 * Math.PI),
                    "phase in radians" => (2, p.Phase),
                    "unwrapped phase in radians" => (2, p.Phase + turned),
                    "pascal" => (1, p.Magnitude),
                    "millipascal" => (1, p.Magnitude * 1000),
                    "dB re 1 Pa" => (1, Db(p) - 94),
                    "kilohm" => (3, z.Magnitude / 1000),
                    "ohm in dB" => (3, 20 * Math.Log10(z.Magnitude)),
                    "impedance phase in radians" => (4, z.Phase),
                    _ => (3, z.Imaginary - 1),
                };
                row[At] = Value;
                return row;
            });
            all++;
            if (faults.Any(fault => fault.Contains(said, StringComparison.Ordinal)))
            {
                noticed++;
            }
            else
            {
                missed.Add($"{receiver.PartNumber}: {string.Join(" | ", faults)}");
            }

            Assert.True(faults.Length < 4, "One unit, one fault");
        }

        TestContext.Current.TestOutputHelper!.WriteLine($"{wrong}: noticed on {noticed} of {all}; missed: {string.Join(", ", missed)}");
        // The reactance of the one coil without inductance is above 1 Ω throughout, which a magnitude could be too.
        Assert.True(noticed >= (wrong is "reactance" ? all - 1 : all), $"{noticed} of {all}; {string.Join("; ", missed)}");
    }

    [Fact]
    public void Parse_UnitsToBeTrusted_AreTaken()
    {
        string text = "hz,spl_db\n10,90\n20,91\n40,92\n";

        Assert.False(MeasuredFile.Parse(Encoding.UTF8.GetBytes(text), "a.csv").IsGood);
        Assert.True(MeasuredFile.Parse(Encoding.UTF8.GetBytes(text), "a.csv", trustUnits: true).IsGood);
    }

    private static IReadOnlyList<Receiver> Drawer()
    {
        string folder = AppContext.BaseDirectory;
        while (!Directory.Exists(Path.Combine(folder, "driverlib")))
        {
            folder = Path.GetDirectoryName(folder)!;
        }

        return [.. InventoryFile.Read(Path.Combine(folder, "driverlib")).Value!.Receivers.Select(receiver => receiver.Receiver)];
    }

    private static (Complex P, Complex Z)[] Curve(Receiver receiver)
    {
        Earpiece earpiece = new([new Way("one", receiver, 1, Wiring.Parallel, Polarity.Normal, [], 0, [new TubeSegment(0.012, 0.0015)])]);
        Ear ear = new(EarSimulator.RefitDamped, 0, 0.0075, null, Air.At());
        return [.. Hz.Select(f => PlainResponse.At(earpiece, ear, new Source(0.1, 0), 2 * Math.PI * f)).Select(at => (at.DrumPressure, at.SocketImpedance))];
    }

    private static string[] Faults(string heading, Func<int, double[]> row)
    {
        StringBuilder text = new(heading + "\n");
        for (int k = 0; k < Hz.Length; k++)
        {
            text.AppendJoin(',', row(k).Select(value => value.ToString("R", CultureInfo.InvariantCulture))).Append('\n');
        }

        return [.. MeasuredFile.Parse(Encoding.UTF8.GetBytes(text.ToString()), "a.csv").Faults.Select(fault => fault.Message)];
    }

    private static double Db(Complex p) => 20 * Math.Log10(p.Magnitude / 20e-6);

    private static double Degrees(Complex value) => value.Phase * 180 / Math.PI;
}
