using System.Numerics;

namespace XoverOpt.Acoustics.Tests;

public class BoundaryLayerTests
{
    // mpmath at 60 digits; see tests/data/boundary_layer.
    [Fact]
    public void At_FromTinyToHugeArguments_AgreesWith30DigitReference()
    {
        ReferenceTable table = ReferenceTable.Read("boundary_layer", "boundary_layer_reference.csv");

        Assert.Equal(32, table.Rows.Count);
        foreach (ReferenceTable.Row row in table.Rows)
        {
            double x = row.Number("abs_x");
            (Complex F, Complex oneMinusF) = BoundaryLayer.At(new Complex(0, -x * x));

            Agreement.Relative(row.Complex("F"), F, 1e-13, $"F at |x| = {x}");
            Agreement.Relative(row.Complex("one_minus_F"), oneMinusF, 1e-13, $"1 − F at |x| = {x}");
            Agreement.Relative(row.Number("F_im"), F.Imaginary, 1e-13, $"imaginary part of F at |x| = {x}");
        }
    }
}
