using System.Diagnostics;
using System.Globalization;
using System.Numerics;
using System.Text;
using XoverOpt.Acoustics.Kernel;
using XoverOpt.Acoustics.Tests;

namespace XoverOpt.Benchmarks;

/// <summary>
/// An earpiece as a netlist for ngspice (any recent version), analysed over and over in one process, a resistor changed each time, at the
/// frequencies of a standard grid.
/// </summary>
internal sealed class ComparisonNetlist(EarpieceCircuit circuit, FrequencyGrid grid, string folder)
{
    /// <summary>Seconds of a run of so many analyses, process start included.</summary>
    public double Seconds(int analyses)
    {
        string file = Path.Combine(folder, "timed.cir");
        File.WriteAllText(file, Netlist(string.Concat(Enumerable.Range(0, analyses).Select(i =>
            string.Create(CultureInfo.InvariantCulture, $"alter R{Resistor} = {40 + (0.01 * i)}\n{Analysis}\ndestroy all\n")))));
        long start = Stopwatch.GetTimestamp();
        Start(file);
        return Stopwatch.GetElapsedTime(start).TotalSeconds;
    }

    /// <summary>Eardrum pressure at each frequency of the grid, Pa.</summary>
    public Complex[] Pressure()
    {
        string file = Path.Combine(folder, "checked.cir"), result = Path.Combine(folder, "checked.raw");
        File.WriteAllText(file, Netlist($"set filetype=ascii\nset numdgt=15\n{Analysis}\nwrite {result} v({circuit.Drum})\n"));
        Start(file);

        // An ASCII raw file: point by point the frequency behind its index, then the voltage, each "re,im".
        string[] lines = [.. File.ReadAllLines(result).SkipWhile(line => line != "Values:").Skip(1).Where(line => !string.IsNullOrWhiteSpace(line))];
        (Complex Hz, Complex Pressure)[] points = [.. lines.Chunk(2).Select(pair => (Parse(pair[0]), Parse(pair[1])))];
        bool same = points.Length == grid.Count && points.Zip(grid.Hz).All(pair => Math.Abs(pair.First.Hz.Real - pair.Second) < 1e-6 * pair.Second);
        return same ? [.. points.Select(point => point.Pressure)] : throw new InvalidOperationException("ngspice did not analyse the frequencies of the grid.");
    }

    /// <summary>Number of a resistor in the netlist, where parts are numbered with controlled sources.</summary>
    private int Resistor => 1 + circuit.Elements.Where(element => element is Part or ControlledSource).ToList().FindIndex(element => element is Part { Kind: 'R' });

    // A hair beyond the last frequency, so that rounding does not lose it.
    private string Analysis => string.Create(CultureInfo.InvariantCulture, $"ac oct {grid.PointsPerOctave} {grid.Hz[0]:R} {grid.Hz[^1] * 1.0001:R}");

    private string Netlist(string control)
    {
        var text = new StringBuilder("an earpiece\n");
        int number = 0;
        foreach (Element element in circuit.Elements)
        {
            string nodes = $"{element.From} {element.To}";
            text.AppendLine(element switch
            {
                Part part => Line($"{part.Kind}{++number} {nodes} {part.Value:R}"),
                VoltageSource source => Line($"V{source.Number} {nodes} DC 0 AC {source.Value:R}"),
                ControlledSource source => Line($"H{++number} {nodes} V{source.Control} {source.Gain:R}"),
                _ => throw new NotSupportedException($"ngspice is given lumped elements only, not {element}."),
            });
        }

        // rshunt gives nodes behind capacitors a path at zero frequency: 1e12 Ω against at most some 10 kΩ here.
        text.AppendLine(Line($".save v({circuit.Drum}) i(V{circuit.Meter})"));
        text.AppendLine(".options rshunt=1e12");
        text.Append(".control\n").Append(control).Append("quit 0\n.endc\n.end\n");
        return text.ToString();
    }

    private static void Start(string netlist)
    {
        var start = new ProcessStartInfo("ngspice") { RedirectStandardOutput = true, RedirectStandardError = true };
        start.ArgumentList.Add("-b");
        start.ArgumentList.Add(netlist);
        using Process process = Process.Start(start)!;
        Task<string> errors = process.StandardError.ReadToEndAsync();
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        if (process.ExitCode != 0)
        {
            throw new InvalidOperationException($"ngspice ended with code {process.ExitCode} and said:\n{output}{errors.GetAwaiter().GetResult()}");
        }
    }

    private static string Line(FormattableString line) => line.ToString(CultureInfo.InvariantCulture);

    private static Complex Parse(string line)
    {
        string[] parts = line.Split('\t', StringSplitOptions.RemoveEmptyEntries)[^1].Split(',');
        return new(double.Parse(parts[0], CultureInfo.InvariantCulture), double.Parse(parts[1], CultureInfo.InvariantCulture));
    }
}
