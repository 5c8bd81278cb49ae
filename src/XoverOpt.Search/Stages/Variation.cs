using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>New layouts from good ones, and starting points.</summary>
internal static class Variation
{
    /// <summary>A layout that differs from the parent in one or two choices, or takes whole ways from another; null if none new turned up.</summary>
    public static Layout? Of(LayoutSpace space, Found parent, Elite elite, Random64 random, Func<Layout, bool> isNew)
    {
        for (int attempt = 0; attempt < 12; attempt++)
        {
            int[] options = [.. parent.Options];
            if (random.NextDouble() < 0.25)
            {
                int[] other = elite.Pick(random).Options;
                for (int way = 0; way < options.Length; way++)
                {
                    options[way] = random.Below(2) == 0 ? options[way] : other[way];
                }
            }
            else
            {
                for (int changes = 1 + random.Below(2); changes > 0; changes--)
                {
                    int way = random.Below(options.Length);
                    options[way] = Change(space.Options[way], options[way], random);
                }
            }

            var layout = new Layout(options);
            if (space.Allows(layout) && isNew(layout))
            {
                return layout;
            }
        }

        return null;
    }

    /// <summary>Every layout that differs from this one in one property of one way (count and wiring go together).</summary>
    public static IEnumerable<Layout> Neighbours(LayoutSpace space, Layout layout)
    {
        for (int way = 0; way < layout.Options.Length; way++)
        {
            WayOption here = space.Option(layout, way);
            for (int option = 0; option < space.Options[way].Count; option++)
            {
                WayOption there = space.Options[way][option];
                int differences = (there.Receiver != here.Receiver ? 1 : 0) + (there.Count != here.Count || there.Wiring != here.Wiring ? 1 : 0)
                    + (there.Polarity != here.Polarity ? 1 : 0) + (there.Network != here.Network ? 1 : 0) + (there.Bore != here.Bore ? 1 : 0);
                if (differences == 1)
                {
                    int[] options = [.. layout.Options];
                    options[way] = option;
                    yield return new(options);
                }
            }
        }
    }

    /// <summary>The parent's values where the child has the same kind of value, else the middle.</summary>
    public static double[] Carry(LayoutSpace space, Problem problem, Found parent, Layout child)
    {
        List<KernelParameter> from = Parameters(space, problem, new(parent.Options)), to = Parameters(space, problem, child);
        return [.. to.Select(parameter =>
        {
            int at = from.FindIndex(other => other.Way == parameter.Way && other.Kind == parameter.Kind && other.Index == parameter.Index);
            at = at >= 0 ? at : from.FindIndex(other => other.Way == parameter.Way && other.Kind == parameter.Kind);
            return at >= 0 ? parent.Unit[at] : 0.5;
        })];
    }

    /// <summary>A random start. Tubes start at one length, since arrival asks for about that.</summary>
    public static double[] Start(Problem problem, IReadOnlyList<ParameterRange> ranges, Random64 random)
    {
        double length = random.NextDouble();
        double shortest = problem.Ways.Max(way => way.TubeMin), longest = problem.Ways.Min(way => way.TubeMax);
        double common = shortest + (length * Math.Max(longest - shortest, 0));
        var start = new double[ranges.Count];
        for (int q = 0; q < start.Length; q++)
        {
            double u = 0.05 + (0.9 * random.NextDouble());
            start[q] = ranges[q].Parameter.Kind == ParameterKind.TubeLength ? ranges[q].Unit(common) : u;
        }

        return start;
    }

    private static int Change(IReadOnlyList<WayOption> options, int index, Random64 random)
    {
        WayOption here = options[index];
        // One property changes, the rest stays, as far as the list has such an option.
        int property = random.Below(5);
        int[] near = [.. Enumerable.Range(0, options.Count).Where(i => i != index && property switch
        {
            0 => options[i] with { Receiver = here.Receiver } == here,
            1 => options[i] with { Count = here.Count, Wiring = here.Wiring } == here,
            2 => options[i] with { Polarity = here.Polarity } == here,
            3 => options[i] with { Network = here.Network } == here,
            _ => options[i] with { Bore = here.Bore } == here,
        })];
        return near.Length == 0 ? random.Below(options.Count) : near[random.Below(near.Length)];
    }

    /// <summary>The continuous values of a layout in <see cref="Candidate"/>'s order.</summary>
    private static List<KernelParameter> Parameters(LayoutSpace space, Problem problem, Layout layout)
    {
        var parameters = new List<KernelParameter>();
        for (int way = 0; way < problem.Ways.Count; way++)
        {
            parameters.AddRange(Candidate.ParametersOf(way, problem.Ways[way].Networks[space.Option(layout, way).Network]));
        }

        return parameters;
    }
}
