using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// A whole job as one mixed problem on a unit cube, for optimisers that know no layouts: first what can be chosen of each way (receiver,
/// count, wiring, polarity, network, bore, each where there is more than one), then the continuous values of each way. Values have
/// places of their own by kind (first resistor, second resistor, first capacitor …, damper, tube length), so that a coordinate means the
/// same whatever network is chosen; those the network has no use for are ignored.
/// </summary>
public sealed class JobPoint
{
    private readonly LayoutSpace _space;
    private readonly Problem _problem;
    private readonly List<PointValue> _values = [];
    private readonly Choice[] _choices;
    private readonly Dictionary<(int Way, ParameterKind Kind, int Nth), int> _places = [];

    /// <summary>Lays a job out.</summary>
    public JobPoint(Problem problem, LayoutSpace space)
    {
        _problem = problem;
        _space = space;
        _choices = [.. problem.Ways.Select((way, index) => new Choice(way, space.Options[index], _values))];
        for (int way = 0; way < problem.Ways.Count; way++)
        {
            List<(ParameterKind Kind, int Nth)> slots = [.. problem.Ways[way].Networks.SelectMany(network => Slots(way, network)).Distinct().Order()];
            foreach ((ParameterKind kind, int nth) in slots)
            {
                _places[(way, kind, nth)] = _values.Count;
                _values.Add(new(Name(problem.Ways[way].Name, kind, nth), 0));
            }
        }
    }

    /// <summary>The coordinates.</summary>
    public IReadOnlyList<PointValue> Values => _values;

    /// <summary>The coordinates of one layout, in the order of <see cref="Candidate.Ranges"/>.</summary>
    public static IReadOnlyList<PointValue> ValuesOf(Problem problem, LayoutSpace space, Layout layout) =>
        [.. problem.Ways.SelectMany((way, index) => Slots(index, way.Networks[space.Option(layout, index).Network])
            .Select(slot => new PointValue(Name(way.Name, slot.Kind, slot.Nth), 0)))];

    /// <summary>The layout that a point chooses and its continuous values in the order of <see cref="Candidate.Ranges"/>.</summary>
    /// <param name="point">A value in [0, 1] for each of <see cref="Values"/>.</param>
    public (Layout Layout, double[] Unit) Decode(ReadOnlySpan<double> point)
    {
        var options = new int[_choices.Length];
        var unit = new List<double>(point.Length);
        for (int way = 0; way < options.Length; way++)
        {
            options[way] = _choices[way].Option(point);
            foreach ((ParameterKind kind, int nth) in Slots(way, _problem.Ways[way].Networks[_space.Options[way][options[way]].Network]))
            {
                unit.Add(point[_places[(way, kind, nth)]]);
            }
        }

        return (new Layout(options), [.. unit]);
    }

    /// <summary>The values of a network with a count of its own for each kind.</summary>
    private static (ParameterKind Kind, int Nth)[] Slots(int way, NetworkShape network)
    {
        var seen = new int[Enum.GetValues<ParameterKind>().Length];
        return [.. Candidate.ParametersOf(way, network).Select(parameter => (parameter.Kind, seen[(int)parameter.Kind]++))];
    }

    private static string Name(string way, ParameterKind kind, int nth) => kind switch
    {
        ParameterKind.TubeLength => $"{way}.tubeLength",
        ParameterKind.Damper => $"{way}.damper",
        ParameterKind.Resistor => $"{way}.resistor{nth + 1}",
        ParameterKind.Capacitor => $"{way}.capacitor{nth + 1}",
        _ => $"{way}.coil{nth + 1}",
    };

    /// <summary>What can be chosen of one way.</summary>
    private sealed class Choice
    {
        private readonly WayChoice _way;
        private readonly Polarity[] _polarities;
        private readonly Dictionary<WayOption, int> _options;
        private readonly int[] _places;

        public Choice(WayChoice way, IReadOnlyList<WayOption> options, List<PointValue> values)
        {
            _way = way;
            _polarities = [.. options.Select(option => option.Polarity).Distinct()];
            _options = options.Select((option, index) => (option, index)).ToDictionary(pair => pair.option, pair => pair.index);
            _places = [.. new[]
            {
                ("receiver", way.Receivers.Count), ("count", way.Counts.Count), ("wiring", way.Wirings.Count),
                ("polarity", _polarities.Length), ("network", way.Networks.Count), ("bore", way.Bores.Count),
            }.Select(choice => Place(choice.Item1, choice.Item2, values))];
        }

        public int Option(ReadOnlySpan<double> point)
        {
            int count = _way.Counts[Pick(point, 1, _way.Counts.Count)];
            return _options[new WayOption(
                Pick(point, 0, _way.Receivers.Count),
                count,
                count == 1 ? _way.Wirings[0] : _way.Wirings[Pick(point, 2, _way.Wirings.Count)],
                _polarities[Pick(point, 3, _polarities.Length)],
                Pick(point, 4, _way.Networks.Count),
                Pick(point, 5, _way.Bores.Count))];
        }

        private int Place(string name, int choices, List<PointValue> values)
        {
            if (choices == 1)
            {
                return -1;
            }

            values.Add(new($"{_way.Name}.{name}", choices));
            return values.Count - 1;
        }

        private int Pick(ReadOnlySpan<double> point, int choice, int count) =>
            _places[choice] < 0 ? 0 : Math.Min((int)(point[_places[choice]] * count), count - 1);
    }
}
