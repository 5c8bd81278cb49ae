using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search.Tests;

/// <summary>Values on the unit interval, and lengths that are cut.</summary>
public class ParameterRangeTests
{
    public static TheoryData<ParameterKind> Kinds => [.. Enum.GetValues<ParameterKind>()];

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Value_AndUnit_AreEachOthersInverseAndSlopeIsTheDerivative(ParameterKind kind)
    {
        ParameterRange range = Range(kind);
        foreach (double u in new[] { 0, 0.13, 0.5, 0.77, 1 })
        {
            double value = range.Value(u), h = 1e-5;
            Assert.Equal(u, range.Unit(value), 1e-9);
            Assert.Equal(1, (range.Value(u + h) - range.Value(u - h)) / (2 * h) / range.Slope(value), 1e-8);
        }
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Nearest_AnyValue_IsTheChoiceNearestOnTheScale(ParameterKind kind)
    {
        ParameterRange range = Range(kind);
        var random = new Random64(2);
        for (int i = 0; i < 200; i++)
        {
            double u = random.NextDouble();
            int nearest = range.Nearest(range.Value(u));
            double least = range.Choices.Min(choice => Math.Abs(range.Unit(choice.Value) - u));
            Assert.Equal(least, Math.Abs(range.Unit(range.Choices[nearest].Value) - u), 1e-12);
        }
    }

    // A length must be the double that its millimetres in a file read back to, whatever the step.
    [Theory]
    [InlineData(0.05)]
    [InlineData(0.1)]
    [InlineData(0.25)]
    [InlineData(0.3)]
    [InlineData(0.5)]
    [InlineData(1)]
    public void TubeLengths_OnAnyStep_AreThoseOfCutLength(double stepMm)
    {
        Problem problem = SmallProblem.TwoWay();
        problem = problem with { TubeStep = stepMm * 1e-3, Ways = [.. problem.Ways.Select(way => way with { TubeMin = 3e-3, TubeMax = 42e-3 })] };
        var candidate = new Candidate(new ProblemTables(problem, 6), new LayoutSpace(problem), new LayoutSpace(problem).At(0));
        ParameterRange range = candidate.Ranges.First(r => r.Parameter.Kind == ParameterKind.TubeLength);

        Assert.Equal(3e-3, range.Choices[0].Value);
        Assert.Equal(42e-3, range.Choices[^1].Value);
        Assert.Equal(
            Enumerable.Range((int)Math.Round(3 / stepMm), range.Choices.Count).Select(k => Problem.CutLength(k, problem.TubeStep)),
            range.Choices.Select(choice => choice.Value));
    }

    // Straight between parts on the range's own scale: halfway between 1 µF and 100 µF stands 10 µF.
    [Theory]
    [InlineData(0, 0.1)]
    [InlineData(0.25, 0.2)]
    [InlineData(0.5, 0.3)]
    [InlineData(0.75, 0.5)]
    [InlineData(1, 0.7)]
    public void Loss_BetweenParts_IsStraightOnTheScale(double u, double ohm)
    {
        var range = new ParameterRange(new(0, ParameterKind.Capacitor, 0), [Lossy(1e-6, 0.1), Lossy(1e-5, 0.3), Lossy(1e-4, 0.7)]);

        Assert.Equal(ohm, range.Loss(u).Ohm, 1e-12);
    }

    [Fact]
    public void Loss_AtAPart_IsThatOfThePart()
    {
        var random = new Random64(4);
        double value = 1e-4;
        StockValue[] parts = [.. Enumerable.Range(0, 30).Select(_ => Lossy(value *= 1.05 + random.NextDouble(), random.NextDouble()))];
        var range = new ParameterRange(new(0, ParameterKind.Coil, 0), parts);

        Assert.All(parts, part => Assert.Equal(part.LossResistance, range.Loss(range.Unit(part.Value)).Ohm, 1e-9));
    }

    [Fact]
    public void Loss_TwoPartsOfOneValue_IsThatOfOneOfThem()
    {
        var range = new ParameterRange(new(0, ParameterKind.Coil, 0), [Lossy(1e-3, 0.5), Lossy(1e-3, 0.9)]);

        Assert.All(new[] { 0, 0.4, 1 }, u => Assert.Contains(range.Loss(u).Ohm, new[] { 0.5, 0.9 }));
    }

    private static StockValue Lossy(double value, double ohm) => new(value, null, null, ohm, null);

    private static ParameterRange Range(ParameterKind kind)
    {
        double[] values = kind switch
        {
            ParameterKind.Resistor => [1, 2.2, 10, 47, 330],
            ParameterKind.Capacitor => [1e-7, 4.7e-7, 1e-6, 1e-4],
            ParameterKind.Coil => [1e-4, 1e-3, 4.7e-3],
            ParameterKind.Damper => [0, 330e5, 1000e5, 4700e5],
            _ => [8e-3, 8.5e-3, 9e-3, 20e-3],
        };
        return new(new(0, kind, 0), [.. values.Select(value => new StockValue(value, null, null, 0, null))]);
    }
}
