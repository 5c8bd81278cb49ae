using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>Finds the layout and the listed values that a whole build is made of.</summary>
public static class BuildLayout
{
    /// <summary>The layout of a build and the choice of each of its values, in the order of <see cref="Candidate.Ranges"/>; null where the job does not list them.</summary>
    public static (Layout Layout, int[] Choices)? Of(Earpiece earpiece, ProblemTables tables, LayoutSpace space)
    {
        Problem problem = tables.Problem;
        if (earpiece.Ways.Count != problem.Ways.Count)
        {
            return null;
        }

        var options = new int[problem.Ways.Count];
        for (int i = 0; i < options.Length; i++)
        {
            WayChoice choice = problem.Ways[i];
            Way way = earpiece.Ways[i];
            options[i] = Enumerable.Range(0, space.Options[i].Count).Where(j => Fits(choice, space.Options[i][j], way)).DefaultIfEmpty(-1).First();
            if (options[i] < 0)
            {
                return null;
            }
        }

        var layout = new Layout(options);
        var candidate = new Candidate(tables, space, layout);
        int[] choices = [.. candidate.Ranges.Select(range =>
        {
            double value = ValueOf(earpiece.Ways[range.Parameter.Way], range.Parameter);
            return range.Choices.Select((stock, at) => (stock.Value, At: at)).Where(stock => Same(stock.Value, value)).Select(stock => stock.At).DefaultIfEmpty(-1).First();
        })];
        return choices.Contains(-1) ? null : (layout, choices);
    }

    private static bool Fits(WayChoice choice, WayOption option, Way way) =>
        way.Name == choice.Name
        && way.Receiver.PartNumber == choice.Receivers[option.Receiver].Receiver.PartNumber
        && way.Count == option.Count
        && (way.Count == 1 || way.Wiring == option.Wiring)
        && way.Polarity == option.Polarity
        && way.Tube is [{ } tube] && Same(tube.Bore, choice.Bores[option.Bore].Value)
        && choice.Networks[option.Network].Sections.SequenceEqual(way.Network.Select(section => new SectionShape(
            section.Place, section.Resistance is not null, section.Capacitance is not null, section.Inductance is not null)));

    /// <summary>The value that a build gives a parameter, SI; NaN where it has none.</summary>
    internal static double ValueOf(Way way, Acoustics.Kernel.KernelParameter parameter) => parameter.Kind switch
    {
        Acoustics.Kernel.ParameterKind.Resistor => way.Network[parameter.Index].Resistance,
        Acoustics.Kernel.ParameterKind.Capacitor => way.Network[parameter.Index].Capacitance,
        Acoustics.Kernel.ParameterKind.Coil => way.Network[parameter.Index].Inductance,
        Acoustics.Kernel.ParameterKind.Damper => way.DamperResistance,
        _ => way.Tube[parameter.Index].Length,
    } ?? double.NaN;

    private static bool Same(double a, double b) => Math.Abs(a - b) <= 1e-9 * Math.Abs(a);
}
