using XoverOpt.Acoustics.Tests;

namespace XoverOpt.Search.Tests;

/// <summary>The test functions themselves, against independently computed values (tests/data/optimisers).</summary>
public class TestFunctionsTests
{
    [Theory]
    [InlineData("sphere", "sphere")]
    [InlineData("ellipsoid1e6", "ellipsoid_cond1e6")]
    [InlineData("rosenbrock", "rosenbrock")]
    [InlineData("rastrigin", "rastrigin")]
    [InlineData("schaffersF7", "schaffers_F7_squared_mean")]
    public void Value_AtSimplePoints_IsTheTabulatedOne(string function, string column)
    {
        foreach (ReferenceTable.Row row in ReferenceTable.Read("optimisers", "benchmark_function_values.csv").Rows)
        {
            int n = (int)row.Number("dim");
            double[] point = [.. Enumerable.Range(0, n).Select(i => row.Text("point") switch
            {
                "zeros" => 0,
                "ones" => 1,
                "halves" => 0.5,
                "ramp(i/n)" => (i + 1.0) / n,
                "alternating +-2.5" => i % 2 == 0 ? 2.5 : -2.5,
                var other => throw new InvalidDataException(other),
            })];

            double expected = row.Number(column);
            Assert.Equal(expected, TestFunctions.Value(function, point), 1e-11 * (1 + expected));
        }
    }

    // exp and cos by hand: at ones every mean is 1, so 20 − 20·e^(−0.2) + e − e.
    [Fact]
    public void Value_OfAckley_IsTheClosedForm()
    {
        Assert.Equal(0, TestFunctions.Value("ackley", [0, 0, 0]), 1e-14);
        Assert.Equal(20 - (20 * Math.Exp(-0.2)), TestFunctions.Value("ackley", [1, 1, 1]), 1e-13);
    }
}
