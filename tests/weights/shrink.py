#!/usr/bin/env python3
"""Makes the shipped networks: detector.onnx and recogniser.onnx from the published ones, page.onnx from a fitted one.

usage: shrink.py RAPIDOCR_WHEEL FASTER_PADDLE_WHEEL OUT_DIR
       shrink.py FITTED_PAGE OUT_DIR

    pip download --no-deps rapidocr==3.10.0 faster-paddle==1.0.4     # the second for Linux on x86-64
    python3 shrink.py rapidocr-3.10.0-*.whl faster_paddle-1.0.4-*.whl ../../src/data/reading

Needs onnx and numpy. Where the networks come from and under which licence: src/data/reading/SOURCES.md.
"""
import hashlib
import pathlib
import sys
import zipfile

import numpy as np
import onnx
from onnx import TensorProto, helper, numpy_helper

WHEELS = [
    "2fc34e26cd0f48514804a94f8832283039c7334076bff60768b1fed9ad068050",
    "cf6218a183da869c6fb8e7ddceabc224b18361c1f1bc6763977171bb19fbb177",
]
# The detector lies inside the library of its wheel: first byte, length and SHA-256.
DETECTOR = (33661742, 1829618, "1130258b70c53bfd52c69cb330f4bb327387f6ae866715426696bda682c6d8bd")
RECOGNISER = "6f327246b50388f3c176ae304bd95767ea6dc0c9ae92153ef8cbe210b3c14884"
# Smaller tensors are left as they are: nothing is gained, and shapes must stay whole numbers.
LEAST = 64


def held(content, sha256, what):
    """The content, if it is the one that this was written for."""
    found = hashlib.sha256(content).hexdigest()
    if found != sha256:
        sys.exit(f"{what} has SHA-256 {found}, expected {sha256}")
    return content


def member(wheel, sha256, name):
    held(pathlib.Path(wheel).read_bytes(), sha256, wheel)
    return zipfile.ZipFile(wheel).read(name)


def published_detector(wheel):
    library = member(wheel, WHEELS[1], "faster_paddle/faster_paddle.abi3.so")
    first, length, sha256 = DETECTOR
    return onnx.load_from_string(held(library[first : first + length], sha256, "the detector"))


def published_recogniser(wheel):
    content = member(wheel, WHEELS[0], "rapidocr/models/PP-OCRv6_rec_small.onnx")
    return onnx.load_from_string(held(content, RECOGNISER, "the recogniser"))


def cut_head(model, wanted):
    """Leaves of the last layer only the classes of the characters wanted; the first class is none, the last a space."""
    listed = next(p.value for p in model.metadata_props if p.key == "character").split("\n")
    classes = len(listed) + 2
    keep = [0] + [1 + listed.index(c) for c in wanted] + [classes - 1]
    cut = 0
    for tensor in model.graph.initializer:
        if classes in tensor.dims:
            values = numpy_helper.to_array(tensor)
            kept = np.take(values, keep, axis=list(tensor.dims).index(classes))
            tensor.CopyFrom(numpy_helper.from_array(kept, tensor.name))
            cut += 1
    if cut != 2:
        sys.exit(f"the last layer has weights and offsets, found {cut} tensors of {classes} classes")
    # What the published file says of its shapes no longer holds.
    del model.graph.value_info[:]
    model.graph.output[0].type.tensor_type.shape.ClearField("dim")
    count, width = (model.graph.input[0].type.tensor_type.shape.dim[axis] for axis in (0, 3))
    count.dim_param, width.dim_param = "n", "w"
    characters = next(p for p in model.metadata_props if p.key == "character")
    characters.value = "\n".join([*wanted, " "])
    return model


def half(model):
    """Stores the weights as 16-bit floats; a cast before each brings it back to 32 bits when the network is run."""
    graph, stored, casts = model.graph, [], []

    def store(name, values):
        stored.append(numpy_helper.from_array(np.clip(values, -65504, 65504).astype(np.float16), name + "_h"))
        casts.append(helper.make_node("Cast", [name + "_h"], [name], to=TensorProto.FLOAT))

    def large(values):
        return values.dtype == np.float32 and values.size >= LEAST

    for tensor in graph.initializer:
        values = numpy_helper.to_array(tensor)
        store(tensor.name, values) if large(values) else stored.append(tensor)
    for node in [n for n in graph.node if n.op_type == "Constant"]:
        for attribute in node.attribute:
            values = numpy_helper.to_array(attribute.t) if attribute.name == "value" else np.zeros(0)
            if large(values):
                store(node.output[0], values)
                graph.node.remove(node)
    nodes = casts + list(graph.node)
    del graph.initializer[:], graph.node[:]
    graph.initializer.extend(stored)
    graph.node.extend(nodes)
    onnx.checker.check_model(model)
    return model


def axes_from_the_first(model):
    """PyTorch counts some axes from the last one backwards, which not every program that runs networks takes."""
    for node in [n for n in model.graph.node if n.op_type == "Transpose"]:
        order = next(a for a in node.attribute if a.name == "perm")
        axes = [axis % len(order.ints) for axis in order.ints]
        del order.ints[:]
        order.ints.extend(axes)
    return model


def main():
    if len(sys.argv) not in (3, 4):
        sys.exit(__doc__)
    out = pathlib.Path(sys.argv[-1])
    if len(sys.argv) == 3:
        made = [("page", axes_from_the_first(onnx.load(sys.argv[1])))]
    else:
        characters = (out / "characters.txt").read_text(encoding="utf-8").splitlines()
        recogniser = cut_head(published_recogniser(sys.argv[1]), characters)
        made = [("detector", published_detector(sys.argv[2])), ("recogniser", recogniser)]
    for name, model in made:
        content = half(model).SerializeToString()
        (out / f"{name}.onnx").write_bytes(content)
        print(f"{name}.onnx: {len(content)} bytes, SHA-256 {hashlib.sha256(content).hexdigest()}")


main()
