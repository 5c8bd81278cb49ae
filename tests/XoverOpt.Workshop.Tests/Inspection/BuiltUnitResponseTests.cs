using System.Numerics;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests.Inspection;

public sealed class BuiltUnitResponseTests
{
    private static readonly double[] Hz = [20, 63, 200, 630, 1500, 3000, 6300, 12_500, 20_000];

    // The plain equations, frequency by frequency, are the oracle.
    [Fact]
    public void Response_WithoutFault_IsThatOfTheBuild()
    {
        (Earpiece build, Problem problem) = DemoBuild.Read();

        Agree(new BuiltUnitResponse(problem, Hz).Of(BuiltUnit.Of(build)), omega => PlainResponse.At(build, problem.Ear, problem.Source, omega), 1e-9);
    }

    // A coil of 1 GΩ carries no current worth the name.
    [Theory]
    [InlineData(Wiring.Parallel, true)]
    [InlineData(Wiring.Parallel, false)]
    [InlineData(Wiring.Series, true)]
    public void Response_WithOpenCoils_IsThatOfCoilsOfVeryHighResistance(Wiring wiring, bool all)
    {
        (Earpiece build, Problem problem) = DemoBuild.Read();
        Way low = build.Ways[0] with { Wiring = wiring };
        build = new([low, .. build.Ways.Skip(1)]);
        BuiltUnit unit = BuiltUnit.Of(build).With(0, way => all ? way.WithCoils(CoilState.Open) : way with { Coils = [CoilState.Open, CoilState.Working] });
        Receiver broken = low.Receiver with { DcResistance = 1e9 };
        SpreadUnit same = new([new(low, [broken, all ? broken : low.Receiver]), .. build.Ways.Skip(1).Select(way => new SpreadWay(way, [.. Enumerable.Repeat(way.Receiver, way.Count)]))]);

        EarpieceResponse expected = same.Response(problem.Ear, problem.Source, Hz);
        (Complex[] pressure, Complex[] impedance) = new BuiltUnitResponse(problem, Hz).Of(unit);

        Assert.All(Hz.Index(), at =>
        {
            Assert.InRange((pressure[at.Index] / expected.Pressure[at.Index] - 1).Magnitude, 0, 1e-5);
            Assert.InRange((impedance[at.Index] / expected.Impedance[at.Index] - 1).Magnitude, 0, 1e-5);
        });
    }

    // Three in series of which one is shorted draw the current of two; its membrane, braked by its own coil, stays on the joint spouts.
    [Fact]
    public void Response_WithAShortedCoilInSeries_IsLouderFromTheOthersThanBefore()
    {
        (Earpiece build, Problem problem) = DemoBuild.Read();
        build = new([build.Ways[0] with { Count = 3, Wiring = Wiring.Series, Network = [] }]);
        var response = new BuiltUnitResponse(problem, [100]);

        double before = response.Of(BuiltUnit.Of(build)).Impedance[0].Magnitude;
        double after = response.Of(BuiltUnit.Of(build).With(0, way => way with { Coils = [CoilState.Shorted, CoilState.Working, CoilState.Working] })).Impedance[0].Magnitude;

        Assert.InRange(after / before, 0.6, 0.75);
    }

    // A hole as part of the ear, and a narrow tube piece of the exact equations at frequencies low enough for a hole's.
    [Fact]
    public void Response_WithALeakOrABlockage_IsThatOfTheSameHoleElsewhere()
    {
        (Earpiece build, Problem problem) = DemoBuild.Read();
        Ear leaky = problem.Ear with { Leak = Leak.Hole(BuiltUnit.LeakLength, 0.5e-3, problem.Ear.Air) };
        Earpiece narrow = new([build.Ways[0] with { Tube = [.. build.Ways[0].Tube, new(BuiltWay.BlockedLength, 0.2e-3)] }, .. build.Ways.Skip(1)]);

        Agree(new BuiltUnitResponse(problem, Hz).Of(BuiltUnit.Of(build) with { LeakBore = 0.5e-3 }), omega => PlainResponse.At(build, leaky, problem.Source, omega), 1e-9);
        Agree(
            new BuiltUnitResponse(problem, Hz).Of(BuiltUnit.Of(build).With(0, way => way with { BlockedBore = 0.2e-3 })),
            omega => PlainResponse.At(narrow, problem.Ear, problem.Source, omega),
            0.03);
    }

    private static void Agree((Complex[] Pressure, Complex[] Impedance) found, Func<double, PlainResponse> expected, double within) => Assert.All(Hz.Index(), at =>
    {
        PlainResponse plain = expected(2 * Math.PI * at.Item);
        Assert.InRange((found.Pressure[at.Index] / plain.DrumPressure - 1).Magnitude, 0, within);
        Assert.InRange((found.Impedance[at.Index] / plain.SocketImpedance - 1).Magnitude, 0, within);
    });
}
