using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;
using XoverOpt.Acoustics.Tests;

namespace XoverOpt.Search.Tests;

/// <summary>
/// Does the search find what the textbooks print? Stand-ins take the place of receivers: a resistor R that drives a perfect flow source,
/// <code>V = b·U,   I = p/b + (b/R)·U,   so M = [ 0, b ; 1/b, b/R ],   det M = −1,</code>
/// with b so large that the load cannot be felt at the leads, into an ear that is a plain resistance. The target is flat and its level
/// free. Values: tests/data/crossovers, computed from the polynomials of Butterworth, Linkwitz and Riley; 1 % of each value.
/// </summary>
public class TextbookCrossoverTests
{
    private const double Ohm = 32;
    private const double CrossoverHz = 1000;

    // A flat sum alone does not say at which frequency, so the first part of the low way is held and its partners are to be found.
    [Theory]
    [InlineData("BW1", Polarity.Normal)]
    [InlineData("LR2", Polarity.Inverted)]
    public void Descent_FlatTargetAndOnePartHeld_FindsThePartners(string alignment, Polarity high)
    {
        (KernelParameter Parameter, double Value)[] textbook = Values(alignment);
        KernelWay[] ways = Ways(alignment, high);
        ways[0].Set(textbook[0].Parameter.Kind, textbook[0].Parameter.Index, textbook[0].Value);
        var random = new Random64(21);

        double best = double.PositiveInfinity;
        double[] found = [];
        for (int start = 0; start < 20; start++)
        {
            double cost = Descend(ways, [.. textbook[1..].Select(part => part.Parameter)], [.. textbook[1..].Select(part => part.Value)], random);
            if (cost < best)
            {
                best = cost;
                found = [.. textbook[1..].Select(part => ways[part.Parameter.Way].Get(part.Parameter.Kind, part.Parameter.Index))];
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"{alignment}: cost {best:G3}, values over textbook {string.Join(", ", found.Select((value, i) => value / textbook[i + 1].Value))}");
        Assert.InRange(best, 0, 1e-6);
        Assert.All(found.Zip(textbook[1..]), pair => Assert.Equal(1, pair.First / pair.Second.Value, 0.01));
    }

    // First order: the sum 1/(1 + jωL/R) + jωRC/(1 + jωRC) is flat just where L/R = RC, wherever the crossover then lies.
    [Fact]
    public void Descent_FirstOrderWithBothFree_KeepsTheTwoTimeConstantsEqual()
    {
        (KernelParameter Parameter, double Value)[] textbook = Values("BW1");
        KernelWay[] ways = Ways("BW1", Polarity.Normal);
        var random = new Random64(22);
        var crossovers = new List<double>();
        for (int start = 0; start < 12; start++)
        {
            // A box of a decade either side, so that neither part can leave the audio band.
            double cost = Descend(ways, [.. textbook.Select(part => part.Parameter)], [.. textbook.Select(part => part.Value)], random, 10, 10);
            double henry = ways[0].Inductances[0], farad = ways[1].Capacitances[0];
            Assert.InRange(cost, 0, 1e-6);
            Assert.Equal(1, henry / (Ohm * Ohm * farad), 0.01);
            crossovers.Add(Ohm / (2 * Math.PI * henry));
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"crossovers {string.Join(", ", crossovers.Select(hz => hz.ToString("F0", null)))} Hz");
        Assert.True(crossovers.Max() > 2 * crossovers.Min(), "different starts should end at different crossovers");
    }

    // The stand-in is what it is said to be: the published sums of low and high way, and R at the leads.
    [Theory]
    [InlineData("BW1", Polarity.Normal)]
    [InlineData("LR2", Polarity.Inverted)]
    [InlineData("LR4", Polarity.Normal)]
    public void StandIn_WithTextbookValues_IsFlatTo1e6(string alignment, Polarity high)
    {
        KernelWay[] ways = Ways(alignment, high);
        foreach ((KernelParameter parameter, double value) in Values(alignment))
        {
            ways[parameter.Way].Set(parameter.Kind, parameter.Index, value);
        }

        CostFigures figures = CostFunction.Evaluate(ways, new CostWorkspace(Tables()), null, [], []);

        Assert.InRange(figures.MagnitudeMaxDb, 0, 1e-6);
    }

    private static double Descend(
        KernelWay[] ways, KernelParameter[] parameters, double[] textbook, Random64 random, double below = 30, double above = 12)
    {
        var workspace = new CostWorkspace(Tables());
        double span = Math.Log(below * above);
        double[] unit = [.. parameters.Select(_ => random.NextDouble())], scale = new double[parameters.Length];
        double Objective(ReadOnlySpan<double> at, NormalEquations equations)
        {
            for (int p = 0; p < parameters.Length; p++)
            {
                double value = textbook[p] / below * Math.Exp(span * at[p]);
                ways[parameters[p].Way].Set(parameters[p].Kind, parameters[p].Index, value);
                scale[p] = span * value;
            }

            equations.Reset(parameters.Length);
            return CostFunction.Evaluate(ways, workspace, equations, parameters, scale).Cost.Total;
        }

        double cost = LevenbergMarquardt.Descend(Objective, unit, 300, 0).Cost;
        Objective(unit, new NormalEquations());
        return cost;
    }

    private static KernelWay[] Ways(string alignment, Polarity high)
    {
        const double B = 1e10;
        var table = new ReceiverTable(SmallProblem.Low1.Receiver with { PartNumber = "stand-in", SpoutLength = 0 }, FrequencyGrid.Standard(24), _ => new TwoPort(0, B, 1 / B, B / Ohm));
        KernelWay Way(int way, Polarity polarity) => new(
            table,
            1,
            Wiring.Parallel,
            polarity,
            [.. Values(alignment).Where(part => part.Parameter.Way == way).Select(part => new NetworkSection(
                part.Parameter.Index % 2 == 0 ? SectionPlace.Series : SectionPlace.Shunt,
                Capacitance: part.Parameter.Kind == ParameterKind.Capacitor ? 1 : null,
                Inductance: part.Parameter.Kind == ParameterKind.Coil ? 1 : null))],
            []);
        return [Way(0, Polarity.Normal), Way(1, high)];
    }

    private static (KernelParameter Parameter, double Value)[] Values(string alignment)
    {
        ReferenceTable.Row[] rows = [.. ReferenceTable.Read("crossovers", "crossover_components.csv").Rows.Where(row => row.Text("alignment") == alignment)];
        return [.. Side(0, "LP_element", "LP_k (L=k*R/f, C=k/(R*f))"), .. Side(1, "HP_element", "HP_k (C=k/(R*f), L=k*R/f)")];

        IEnumerable<(KernelParameter, double)> Side(int way, string element, string k) => rows.Select(row => row.Text(element) == "L"
            ? (new KernelParameter(way, ParameterKind.Coil, (int)row.Number("position_from_source") - 1), row.Number(k) * Ohm / CrossoverHz)
            : (new KernelParameter(way, ParameterKind.Capacitor, (int)row.Number("position_from_source") - 1), row.Number(k) / Ohm / CrossoverHz));
    }

    private static ProblemTables Tables()
    {
        const double Resistive = 2e7, Large = double.PositiveInfinity;
        Problem problem = SmallProblem.TwoWay();
        return new ProblemTables(
            problem with
            {
                Ways = [],
                Source = new(0.1, 0),
                Ear = problem.Ear with { Simulator = new("resistive", 0, 0, 0, 0, Resistive, Large, 0, 0, 0, 0, Resistive, Large, 0, 0, 0) },
                Target = new(LogCurve.Flat(0), LogCurve.Flat(1), 20, 20000, 3, LevelKind.Relative, 20, 20000),
                Phase = problem.Phase with { LimitDeg = 1e6, ArrivalLimit = 1 },
                Cost = new(1, 0, 0, 0),
            },
            24);
    }
}
