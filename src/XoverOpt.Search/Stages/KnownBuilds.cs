using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// What a search begins from where its job knows builds already, such as those of an earlier run. A build that the job still lists is
/// kept as it is; its layout, or where a part or choice is no longer offered, every layout with an offered one in its place, is optimised
/// from the build's values. What no layout can stand for is passed over.
/// </summary>
internal static class KnownBuilds
{
    /// <summary>Layouts that may stand for one build of which parts are gone.</summary>
    private const int MostStandIns = 64;

    /// <summary>The known builds that can be built as they are.</summary>
    public static List<Found> AsTheyAre(Problem problem, ProblemTables tables, LayoutSpace space)
    {
        var found = new List<Found>();
        foreach (Earpiece build in problem.Known)
        {
            if (BuildLayout.Of(build, tables, space) is { } same && space.Allows(same.Layout))
            {
                found.Add(new(same.Layout.Options, Unit(build, new Candidate(tables, space, same.Layout)), double.NaN, double.NaN, double.NaN, same.Choices));
            }
        }

        return found;
    }

    /// <summary>Layouts to begin from with the builds' values: first those of the builds themselves, best first, then what may stand for them.</summary>
    public static List<Found> Layouts(Problem problem, ProblemTables tables, LayoutSpace space, int most)
    {
        Layout[][] standing = [.. problem.Known.Select(build => StandingFor(build, problem, space).Where(space.Allows).Take(MostStandIns).ToArray())];
        var seen = new HashSet<string>();
        var layouts = new List<Found>();
        for (int depth = 0; depth < MostStandIns; depth++)
        {
            for (int k = 0; k < standing.Length && layouts.Count < most; k++)
            {
                if (depth < standing[k].Length && seen.Add(standing[k][depth].Key))
                {
                    Layout layout = standing[k][depth];
                    layouts.Add(new(layout.Options, Unit(problem.Known[k], new Candidate(tables, space, layout)), double.NaN, double.NaN, double.NaN));
                }
            }
        }

        return layouts;
    }

    private static IEnumerable<Layout> StandingFor(Earpiece build, Problem problem, LayoutSpace space)
    {
        IEnumerable<int[]> layouts = [[]];
        for (int way = 0; way < problem.Ways.Count; way++)
        {
            if (build.Ways.FirstOrDefault(other => other.Name == problem.Ways[way].Name) is not { } built)
            {
                return [];
            }

            int[] options = Options(built, problem.Ways[way], space.Options[way]);
            layouts = layouts.SelectMany(begun => options.Select(option => (int[])[.. begun, option]));
        }

        return layouts.Select(options => new Layout(options));
    }

    /// <summary>The options that stand for a way: alike in all that is offered, any where nothing alike is, and the nearest bore.</summary>
    private static int[] Options(Way built, WayChoice choice, IReadOnlyList<WayOption> options)
    {
        NetworkShape shape = new([.. built.Network.Select(section => new SectionShape(
            section.Place, section.Resistance is not null, section.Capacitance is not null, section.Inductance is not null))]);
        double bore = built.Tube.Count > 0 ? built.Tube[0].Bore : 0;
        int nearest = Enumerable.Range(0, choice.Bores.Count).MinBy(i => Math.Abs(choice.Bores[i].Value - bore));
        IEnumerable<int> left = Enumerable.Range(0, options.Count).Where(i => options[i].Bore == nearest);
        foreach (Func<WayOption, bool> alike in new Func<WayOption, bool>[]
        {
            option => choice.Receivers[option.Receiver].Receiver.PartNumber == built.Receiver.PartNumber,
            option => option.Count == built.Count && (built.Count == 1 || option.Wiring == built.Wiring),
            option => option.Polarity == built.Polarity,
            option => choice.Networks[option.Network].Sections.SequenceEqual(shape.Sections),
        })
        {
            int[] all = [.. left], kept = [.. all.Where(i => alike(options[i]))];
            left = kept.Length > 0 ? kept : all;
        }

        return [.. left];
    }

    /// <summary>The build's values where the layout has the like, else the middle.</summary>
    private static double[] Unit(Earpiece build, Candidate candidate) => [.. candidate.Ranges.Select(range =>
    {
        KernelParameter parameter = range.Parameter;
        Way built = build.Ways.First(way => way.Name == candidate.NameOf(parameter.Way));
        double value = Enumerable.Range(0, Math.Max(built.Network.Count, 1)).OrderBy(j => Math.Abs(j - parameter.Index))
            .Select(j => Value(built, parameter with { Index = j })).FirstOrDefault(double.IsFinite, double.NaN);
        return double.IsFinite(value) ? range.Unit(value) : 0.5;
    })];

    private static double Value(Way way, KernelParameter parameter) => parameter.Kind switch
    {
        ParameterKind.Damper => way.DamperResistance,
        ParameterKind.TubeLength => way.Tube.Sum(piece => piece.Length),
        _ => parameter.Index < way.Network.Count ? BuildLayout.ValueOf(way, parameter) : double.NaN,
    };
}
