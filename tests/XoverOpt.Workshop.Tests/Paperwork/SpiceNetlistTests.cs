using System.Diagnostics;
using System.Globalization;
using System.Numerics;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Tests;
using XoverOpt.Workshop.Paperwork;

namespace XoverOpt.Workshop.Tests;

/// <summary>The netlist run by ngspice (any recent version) against the plain response.</summary>
public class SpiceNetlistTests
{
    [Fact]
    public void Write_RandomBuilds_GivesInNgspiceTheResponseWithinATenthOfADecibelTo10kHz()
    {
        double within = 0, beyond = 0;
        foreach (Build build in new RandomEarpieces(11).Take(5))
        {
            (double Hz, Complex Drum)[] ran = Ngspice(SpiceNetlist.Write("random", build.Earpiece, build.Ear, build.Source));
            Assert.Equal(121, ran.Length);
            foreach ((double hz, Complex drum) in ran)
            {
                PlainResponse plain = PlainResponse.At(build.Earpiece, build.Ear, build.Source, 2 * Math.PI * hz);
                // Where ways cancel, the sum is small and what it is off by is measured against what cancels.
                double off = 20 * Math.Log10(1 + (Complex.Abs(drum - plain.DrumPressure) / plain.Shares.Sum(Complex.Abs)));
                (within, beyond) = hz <= 10_000 ? (Math.Max(within, off), beyond) : (within, Math.Max(beyond, off));
            }
        }

        TestContext.Current.SendDiagnosticMessage("off by {0:0.000} dB at worst up to 10 kHz, {1:0.000} dB beyond", within, beyond);
        Assert.InRange(within, 0, 0.1);
        Assert.InRange(beyond, 0, 0.5);
    }

    [Fact]
    public void Write_Sample_NamesThePartsAsTheBuildSheetDoes()
    {
        string netlist = SpiceNetlist.Write("a\nb", BuildFileFixture.Sample, BuildFileFixture.TwoWay.Ear, BuildFileFixture.TwoWay.Source);

        Assert.StartsWith("* a b\n", netlist, StringComparison.Ordinal);
        foreach (string part in new[] { "R1", "R2", "R3", "C1", "C2", "L1", "L2" })
        {
            Assert.Single(netlist.Split('\n'), line => line.StartsWith(part + " ", StringComparison.Ordinal));
        }

        Assert.Contains(" 43\n", netlist, StringComparison.Ordinal);
    }

    private static (double Hz, Complex Drum)[] Ngspice(string netlist)
    {
        string folder = Directory.CreateTempSubdirectory("netlist").FullName;
        try
        {
            string file = Path.Combine(folder, "build.cir"), data = Path.Combine(folder, "drum.txt");
            File.WriteAllText(file, netlist.Replace(".end\n", $".control\nset wr_singlescale\nset numdgt=12\nac dec 40 20 20000\nwrdata {data} v(drum)\n.endc\n.end\n", StringComparison.Ordinal));
            using Process process = Process.Start(new ProcessStartInfo("ngspice", ["-b", file]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
            Task<string> errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
            string said = process.StandardOutput.ReadToEnd();
            process.WaitForExit();
            Assert.True(File.Exists(data), $"ngspice ended with code {process.ExitCode} and said:\n{said}{errors.Result}");
            return [.. File.ReadLines(data).Select(line => line.Split(' ', StringSplitOptions.RemoveEmptyEntries))
                .Select(cells => (Number(cells[0]), new Complex(Number(cells[1]), Number(cells[2]))))];
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
