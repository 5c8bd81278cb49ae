using System.Diagnostics;
using System.Globalization;
using System.Numerics;
using System.Text;

namespace XoverOpt.Acoustics.Tests;

/// <summary>Runs the circuit simulator ngspice (any recent version) on several circuits at once.</summary>
internal static class Ngspice
{
    /// <summary>
    /// Small-signal analysis of all circuits, which share nothing but ground, in one process, 20 Hz to 20 kHz, five points a decade.
    /// Node voltages and source currents by name: "v(7)", "i(v3)", and "frequency".
    /// </summary>
    public static IReadOnlyDictionary<string, Complex[]> Run(IReadOnlyList<EarpieceCircuit> circuits)
    {
        string folder = Directory.CreateTempSubdirectory("ngspice").FullName;
        try
        {
            string netlist = Path.Combine(folder, "builds.cir"), result = Path.Combine(folder, "builds.raw");
            File.WriteAllText(netlist, Netlist(circuits, result));
            (int exit, string output) = Start(netlist);
            Assert.True(exit == 0 && File.Exists(result), $"ngspice ended with code {exit} and said:\n{output}");
            return Read(result);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static (int Exit, string Output) Start(string netlist)
    {
        var start = new ProcessStartInfo("ngspice") { RedirectStandardOutput = true, RedirectStandardError = true };
        start.ArgumentList.Add("-b");
        start.ArgumentList.Add(netlist);
        try
        {
            using Process process = Process.Start(start)!;
            Task<string> errors = process.StandardError.ReadToEndAsync();
            string output = process.StandardOutput.ReadToEnd();
            process.WaitForExit();
            return (process.ExitCode, output + errors.GetAwaiter().GetResult());
        }
        catch (System.ComponentModel.Win32Exception)
        {
            throw new InvalidOperationException("These tests need the program ngspice on the path (Debian, Ubuntu: apt-get install ngspice).");
        }
    }

    private static string Netlist(IReadOnlyList<EarpieceCircuit> circuits, string result)
    {
        var text = new StringBuilder("random builds\n");
        int number = 0;
        foreach (Element element in circuits.SelectMany(circuit => circuit.Elements))
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

        foreach (EarpieceCircuit circuit in circuits)
        {
            text.AppendLine(Line($".save v({circuit.Socket}) v({circuit.Drum}) i(V{circuit.Meter})"));
        }

        // rshunt gives nodes behind capacitors a path at zero frequency: 1e12 Ω against at most some 10 kΩ here.
        text.AppendLine(".options rshunt=1e12");
        text.AppendLine(".control\nset filetype=ascii\nset numdgt=15\nac dec 5 20 20000");
        text.AppendLine($"write {result}\nquit 0\n.endc\n.end");
        return text.ToString();
    }

    private static string Line(FormattableString line) => line.ToString(CultureInfo.InvariantCulture);

    /// <summary>ngspice's ASCII raw file: a header with the names, then point by point "index value" and one value a line.</summary>
    private static Dictionary<string, Complex[]> Read(string file)
    {
        string[] lines = File.ReadAllLines(file);
        int points = Count("No. Points:"), variables = Count("No. Variables:");
        int header = Array.IndexOf(lines, "Variables:") + 1;
        string[] values = [.. lines.SkipWhile(line => line != "Values:").Skip(1).Where(line => !string.IsNullOrWhiteSpace(line))];
        return Enumerable.Range(0, variables).ToDictionary(
            i => lines[header + i].Split('\t', StringSplitOptions.RemoveEmptyEntries)[1],
            i => Enumerable.Range(0, points).Select(k => Parse(values[(k * variables) + i])).ToArray());

        int Count(string key) => int.Parse(lines.First(line => line.StartsWith(key, StringComparison.Ordinal))[key.Length..], CultureInfo.InvariantCulture);
    }

    private static Complex Parse(string line)
    {
        string[] parts = line.Split('\t', StringSplitOptions.RemoveEmptyEntries)[^1].Split(',');
        return new(double.Parse(parts[0], CultureInfo.InvariantCulture), double.Parse(parts[1], CultureInfo.InvariantCulture));
    }
}
