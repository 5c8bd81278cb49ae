using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>Causes in words, each the beginning of a sentence that ends with a gain.</summary>
internal static class AdviceWords
{
    private const double PascalSecondPerCgsOhm = 1e5;

    /// <summary>That a kind of part comes in coarse steps.</summary>
    public static string Steps(Candidate built, ParameterKind kind)
    {
        int q = Array.FindIndex(built.Ranges, range => range.Parameter.Kind == kind);
        IReadOnlyList<StockValue> list = built.Ranges[q].Choices;
        return kind switch
        {
            ParameterKind.TubeLength => FormattableString.Invariant($"tubes are cut in steps of {(list.Count > 1 ? (list[1].Value - list[0].Value) * 1e3 : 0):0.##} mm: any length"),
            ParameterKind.Damper => FormattableString.Invariant($"dampers come in {list.Count} values: ones in between"),
            _ => $"{Plural(kind)} come in {PerDecade(list)}: finer values",
        };
    }

    /// <summary>That the list holds better values of a kind.</summary>
    public static string Choice(ParameterKind kind) => kind switch
    {
        ParameterKind.TubeLength => "other tube lengths",
        ParameterKind.Damper => "other dampers of the list",
        _ => $"other {Plural(kind)} of the list",
    };

    /// <summary>That a value stands at the end of its list.</summary>
    public static string End(Problem problem, Candidate candidate, int q, bool high, double beyond)
    {
        KernelParameter parameter = candidate.Ranges[q].Parameter;
        string way = problem.Ways[parameter.Way].Name, edge = Value(parameter.Kind, candidate.Value(q)), further = Value(parameter.Kind, beyond);
        return parameter.Kind switch
        {
            ParameterKind.TubeLength => $"the {way} tube is at its {(high ? "longest" : "shortest")} ({edge}): {(high ? "up" : "down")} to {further}",
            ParameterKind.Damper => $"the {way} damper wants to be {(high ? "stronger" : "weaker")} than any on the list, which {(high ? "ends" : "begins")} at {edge}: {(high ? "up" : "down")} to {further}",
            _ => $"a {Single(parameter.Kind)} of the {way} way wants to be {(high ? "larger" : "smaller")} than any on the list, which {(high ? "ends" : "begins")} at {edge}: {(high ? "up" : "down")} to {further}",
        };
    }

    /// <summary>That a limit on the whole earpiece keeps a way from more receivers.</summary>
    public static string More(Problem problem, LayoutSpace space, Layout layout, int way, int count)
    {
        int receivers = 0;
        double volume = 0;
        decimal price = 0;
        for (int i = 0; i < problem.Ways.Count; i++)
        {
            WayOption option = space.Option(layout, i);
            StockReceiver receiver = problem.Ways[i].Receivers[option.Receiver];
            int pieces = i == way ? count : option.Count;
            receivers += pieces;
            volume += pieces * (receiver.Body?.Volume ?? 0);
            price += pieces * (receiver.Supply?.UnitPrice ?? 0);
        }

        Limits limits = problem.Limits;
        string limit = receivers > limits.MaxReceivers ? FormattableString.Invariant($"the limit of {limits.MaxReceivers} receivers")
            : volume > limits.ShellVolume ? FormattableString.Invariant($"the room of {limits.ShellVolume * 1e9:0} mm³")
            : price > limits.MaxPartsCost ? FormattableString.Invariant($"the parts cost limit of {limits.MaxPartsCost}")
            : "the stock";
        WayOption here = space.Option(layout, way);
        return FormattableString.Invariant(
            $"{limit} binds: {count} instead of {here.Count} of {problem.Ways[way].Receivers[here.Receiver].Receiver.PartNumber} in the {problem.Ways[way].Name} way");
    }

    /// <summary>A frequency with three digits at most.</summary>
    public static string Hz(double hz) => hz >= 1000 ? FormattableString.Invariant($"{hz / 1000:0.#} kHz") : FormattableString.Invariant($"{hz:0} Hz");

    /// <summary>How many values a decade a list has; for a list within a decade, how many in all.</summary>
    private static string PerDecade(IReadOnlyList<StockValue> list)
    {
        double decades = list.Count > 1 ? Math.Log10(list[^1].Value / list[0].Value) : 0;
        double density = Math.Round((list.Count - 1) / Math.Max(decades, 1));
        return decades >= 1
            ? FormattableString.Invariant($"about {density:0} {(density == 1 ? "value" : "values")} a decade")
            : FormattableString.Invariant($"{list.Count} {(list.Count == 1 ? "value" : "values")}");
    }

    private static string Value(ParameterKind kind, double value) => kind switch
    {
        ParameterKind.Resistor => FormattableString.Invariant($"{value:0.###} Ω"),
        ParameterKind.Capacitor => FormattableString.Invariant($"{value * 1e6:0.###} µF"),
        ParameterKind.Coil => FormattableString.Invariant($"{value * 1e3:0.###} mH"),
        ParameterKind.Damper => FormattableString.Invariant($"{value / PascalSecondPerCgsOhm:0} cgs Ω"),
        _ => FormattableString.Invariant($"{value * 1e3:0.##} mm"),
    };

    private static string Plural(ParameterKind kind) => Single(kind) + "s";

    private static string Single(ParameterKind kind) => kind switch
    {
        ParameterKind.Resistor => "resistor",
        ParameterKind.Capacitor => "capacitor",
        _ => "coil",
    };
}
