using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// A layout with values: the bridge between a point in the unit cube and the kernel. Values that are held fixed (already snapped to
/// what can be bought) keep their place and are left out of the derivatives.
/// </summary>
public sealed class Candidate
{
    private readonly Problem _problem;
    private readonly LayoutSpace _space;
    private readonly Layout _layout;
    private readonly double[] _loss;
    private readonly bool[] _kept;

    /// <summary>Prepares a layout on a grid.</summary>
    /// <param name="tables">The problem on its grid.</param>
    /// <param name="space">The layouts.</param>
    /// <param name="layout">Which one.</param>
    /// <param name="relaxBores">
    /// Whether the bore of each way that may have several is a value like the others, from the smallest to the largest of its list and
    /// last among the way's values, whatever the layout says.
    /// </param>
    public Candidate(ProblemTables tables, LayoutSpace space, Layout layout, bool relaxBores = false)
    {
        _problem = tables.Problem;
        _space = space;
        _layout = layout;
        Ways = new KernelWay[_problem.Ways.Count];
        var ranges = new List<ParameterRange>();
        for (int i = 0; i < Ways.Length; i++)
        {
            WayChoice choice = _problem.Ways[i];
            WayOption option = space.Option(layout, i);
            NetworkShape shape = choice.Networks[option.Network];
            Ways[i] = new KernelWay(
                tables.Receiver(choice.Receivers[option.Receiver].Receiver),
                option.Count,
                option.Wiring,
                option.Polarity,
                [.. shape.Sections.Select(section => new NetworkSection(section.Place))],
                [tables.Bore(choice.Bores[option.Bore].Value)]);
            ranges.AddRange(RangesOf(i, choice, shape));
            if (relaxBores && choice.Bores.Count > 1)
            {
                Ways[i] = Ways[i].WithFreeBore(tables.BoresBetween(choice.Bores.Min(bore => bore.Value), choice.Bores.Max(bore => bore.Value)));
                ranges.Add(new ParameterRange(new(i, ParameterKind.Bore, 0), [.. choice.Bores.OrderBy(bore => bore.Value)]));
            }
        }

        Ranges = [.. ranges];
        Unit = new double[Ranges.Length];
        Held = new bool[Ranges.Length];
        _loss = new double[Ranges.Length];
        _kept = [.. Ranges.Select(range => _problem.Ways[range.Parameter.Way].Kept is not null)];
        for (int q = 0; q < Ranges.Length; q++)
        {
            if (_kept[q])
            {
                Hold(q, 0);
            }
        }

        SetAll(Enumerable.Repeat(0.5, Ranges.Length).ToArray());
    }

    /// <summary>The ways as the kernel reads them.</summary>
    public KernelWay[] Ways { get; }

    /// <summary>The continuous values, grouped by way.</summary>
    public ParameterRange[] Ranges { get; }

    /// <summary>Where each value stands on the unit interval.</summary>
    public double[] Unit { get; }

    /// <summary>Which values are held.</summary>
    public bool[] Held { get; }

    /// <summary>A choice for each value that stays as in another build, -1 for the others.</summary>
    public int[] Settled => [.. _kept.Select(kept => kept ? 0 : -1)];

    /// <summary>The values that derivatives are by.</summary>
    public IEnumerable<int> FreeValues => Enumerable.Range(0, Held.Length).Where(q => !Held[q]);

    /// <summary>Moves every value that is not held.</summary>
    public void SetFree(ReadOnlySpan<double> free)
    {
        int next = 0;
        for (int q = 0; q < Ranges.Length; q++)
        {
            if (!Held[q])
            {
                Put(q, free[next], Ranges[q].Value(free[next]), Ranges[q].Loss(free[next]));
                next++;
            }
        }
    }

    /// <summary>Moves every value but those that stay as in another build.</summary>
    public void SetAll(ReadOnlySpan<double> unit)
    {
        for (int q = 0; q < Ranges.Length; q++)
        {
            if (!_kept[q])
            {
                Put(q, unit[q], Ranges[q].Value(unit[q]), Ranges[q].Loss(unit[q]));
            }
        }
    }

    /// <summary>Sets a value to one of its choices, exactly, and holds it.</summary>
    public void Hold(int index, int choice)
    {
        StockValue value = Ranges[index].Choices[choice];
        Held[index] = true;
        Put(index, Ranges[index].Unit(value.Value), value.Value, (value.LossResistance, 0));
    }

    /// <summary>Frees every value but those that stay as in another build; each is left where it is.</summary>
    public void Release() => _kept.CopyTo(Held, 0);

    /// <summary>The free values' places on the unit interval.</summary>
    public double[] Free() => [.. Unit.Where((_, q) => !Held[q])];

    /// <summary>Writes the free values' places on the unit interval into <paramref name="free"/> and returns how many they are.</summary>
    public int CopyFree(Span<double> free)
    {
        int next = 0;
        for (int q = 0; q < Ranges.Length; q++)
        {
            if (!Held[q])
            {
                free[next++] = Unit[q];
            }
        }

        return next;
    }

    /// <summary>The name of a way.</summary>
    internal string NameOf(int way) => _problem.Ways[way].Name;

    /// <summary>The value of a parameter, SI.</summary>
    public double Value(int index) => Ways[Ranges[index].Parameter.Way].Get(Ranges[index].Parameter.Kind, Ranges[index].Parameter.Index);

    /// <summary>The build, once every value is held.</summary>
    public Earpiece ToEarpiece() => new([.. Enumerable.Range(0, Ways.Length).Select(ToWay)]);

    /// <summary>The continuous values of a way: network parts from the socket on, damper, tube length.</summary>
    public static IEnumerable<KernelParameter> ParametersOf(int way, NetworkShape shape)
    {
        for (int j = 0; j < shape.Sections.Count; j++)
        {
            SectionShape section = shape.Sections[j];
            if (section.Resistor)
            {
                yield return new(way, ParameterKind.Resistor, j);
            }

            if (section.Capacitor)
            {
                yield return new(way, ParameterKind.Capacitor, j);
            }

            if (section.Coil)
            {
                yield return new(way, ParameterKind.Coil, j);
            }
        }

        yield return new(way, ParameterKind.Damper, 0);
        yield return new(way, ParameterKind.TubeLength, 0);
    }

    private static StockValue[] Lengths(WayChoice choice, double step)
    {
        int first = (int)Math.Ceiling((choice.TubeMin / step) - 1e-6), last = (int)Math.Floor((choice.TubeMax / step) + 1e-6);
        return [.. Enumerable.Range(first, last - first + 1).Select(k => new StockValue(Problem.CutLength(k, step), null, null, 0, null))];
    }

    private IEnumerable<ParameterRange> RangesOf(int way, WayChoice choice, NetworkShape shape) =>
        ParametersOf(way, shape).Select((parameter, nth) => new ParameterRange(parameter, parameter.Kind switch
        {
            ParameterKind.Resistor or ParameterKind.Capacitor or ParameterKind.Coil when choice.Kept is { } kept => [kept.Parts[nth]],
            ParameterKind.TubeLength when choice.Kept is { } kept => [new(kept.Way.Tube[0].Length, null, null, 0, null)],
            ParameterKind.Resistor => _problem.Passives.Resistors,
            ParameterKind.Capacitor => _problem.Passives.Capacitors,
            ParameterKind.Coil => _problem.Passives.Coils,
            ParameterKind.Damper => choice.Dampers,
            _ => Lengths(choice, _problem.TubeStep),
        }));

    private void Put(int index, double unit, double value, (double Ohm, double Slope) loss)
    {
        KernelParameter parameter = Ranges[index].Parameter;
        KernelWay way = Ways[parameter.Way];
        Unit[index] = unit;
        _loss[index] = loss.Ohm;
        way.Set(parameter.Kind, parameter.Index, value);
        if (parameter.Kind is ParameterKind.Capacitor or ParameterKind.Coil)
        {
            // A section holds at most one lossy part of each kind; with both, the losses add up.
            double sum = loss.Ohm;
            for (int q = 0; q < Ranges.Length; q++)
            {
                KernelParameter at = Ranges[q].Parameter;
                if (q != index && at.Way == parameter.Way && at.Index == parameter.Index && at.Kind is ParameterKind.Capacitor or ParameterKind.Coil)
                {
                    sum += _loss[q];
                }
            }

            way.Losses[parameter.Index] = sum;
            way.LossSlopes[(2 * parameter.Index) + (parameter.Kind == ParameterKind.Capacitor ? 0 : 1)] = loss.Slope == 0 ? 0 : loss.Slope / Ranges[index].Slope(value);
        }
    }

    private Way ToWay(int index)
    {
        WayChoice choice = _problem.Ways[index];
        WayOption option = _space.Option(_layout, index);
        KernelWay way = Ways[index];
        IEnumerable<NetworkSection> sections = choice.Networks[option.Network].Sections.Select((section, j) => new NetworkSection(
            section.Place,
            section.Resistor ? way.Resistances[j] : null,
            section.Capacitor ? way.Capacitances[j] : null,
            section.Coil ? way.Inductances[j] : null,
            section.Capacitor ? Loss(index, ParameterKind.Capacitor, j) : 0,
            section.Coil ? Loss(index, ParameterKind.Coil, j) : 0));
        return new Way(
            choice.Name,
            choice.Receivers[option.Receiver].Receiver,
            option.Count,
            option.Wiring,
            option.Polarity,
            [.. sections],
            way.Damper,
            [new TubeSegment(way.Lengths[0], way.Bores[0].Bore)]);
    }

    private double Loss(int way, ParameterKind kind, int section)
    {
        int q = Array.FindIndex(Ranges, range => range.Parameter == new KernelParameter(way, kind, section));
        return _loss[q];
    }
}
