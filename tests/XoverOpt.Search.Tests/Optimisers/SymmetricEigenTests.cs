using MathNet.Numerics.LinearAlgebra;

namespace XoverOpt.Search.Tests;

/// <summary>Eigenvalues known in closed form, and of random matrices against a general-purpose library (MathNet.Numerics).</summary>
public class SymmetricEigenTests
{
    // The second-difference matrix (2 on the diagonal, −1 beside it) has the eigenvalues 2 − 2·cos(kπ/(n + 1)) (G. Strang, Linear Algebra).
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(13)]
    public void Decompose_SecondDifferences_HasTheKnownEigenvalues(int n)
    {
        double[] matrix = [.. Enumerable.Range(0, n * n).Select(k => Math.Abs((k / n) - (k % n)) switch { 0 => 2.0, 1 => -1, _ => 0 })];
        double[] values = new double[n];

        Assert.True(SymmetricEigen.Decompose(matrix, new double[n * n], values));

        Assert.All(
            values.Order().Zip(Enumerable.Range(1, n).Select(k => 2 - (2 * Math.Cos(k * Math.PI / (n + 1))))),
            pair => Assert.Equal(pair.Second, pair.First, 1e-14));
    }

    [Fact]
    public void Decompose_RandomMatrices_RebuildsThemAndAgreesWithTheLibrary()
    {
        var random = new Random64(12);
        for (int trial = 0; trial < 40; trial++)
        {
            int n = 2 + random.Below(14);
            Matrix<double> root = Matrix<double>.Build.Dense(n, n, (_, _) => random.NextNormal());
            Matrix<double> matrix = root * root.Transpose();
            double[] vectors = new double[n * n], values = new double[n];

            Assert.True(SymmetricEigen.Decompose(matrix.ToRowMajorArray(), vectors, values));

            Matrix<double> b = Matrix<double>.Build.DenseOfRowMajor(n, n, vectors);
            double size = matrix.FrobeniusNorm();
            Matrix<double> rebuilt = b.Transpose() * Matrix<double>.Build.DenseOfDiagonalArray(values) * b;
            double[] library = [.. matrix.Evd(Symmetricity.Symmetric).EigenValues.Select(e => e.Real).Order()];
            Assert.True((rebuilt - matrix).FrobeniusNorm() < 1e-13 * size);
            Assert.True(((b.Transpose() * b) - Matrix<double>.Build.DenseIdentity(n)).FrobeniusNorm() < 1e-13);
            Assert.All(values.Order().Zip(library), pair => Assert.Equal(pair.Second, pair.First, 1e-13 * size));
        }
    }

    [Fact]
    public void Decompose_NotFinite_IsRefused() => Assert.False(SymmetricEigen.Decompose([1, double.NaN, double.NaN, 1], new double[4], new double[2]));
}
