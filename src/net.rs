//! A trained network: a file of weights in ONNX format, run by rten on one thread.
//!
//! Pages are spread over the cores, not the parts of a network. Weights are stored as 16-bit floats (IEEE 754
//! binary16) and calculated with as 32-bit ones.

use crate::Result;
use crate::error::{Error, NetFault};

use rten::{Model, RunOptions, ThreadPool, Value};
use rten_tensor::Tensor;
use rten_tensor::prelude::*;
use std::cell::RefCell;
use std::sync::{Arc, OnceLock};

/// A network with its weights.
pub struct Net {
    name: &'static str,
    model: Model,
}

/// Numbers in rows: the shape from the outermost axis inwards, and the values.
#[derive(Debug, Clone, PartialEq)]
pub struct Numbers {
    /// Length of each axis.
    pub shape: Vec<usize>,
    /// As many values as the lengths multiplied.
    pub values: Vec<f32>,
}

thread_local! {
    /// A pool that two callers share would run one network after the other.
    static POOL: RefCell<Option<Arc<ThreadPool>>> = const { RefCell::new(None) };
}

fn pool() -> Arc<ThreadPool> {
    POOL.with_borrow_mut(|pool| {
        pool.get_or_insert_with(|| Arc::new(ThreadPool::with_num_threads(1))).clone()
    })
}

impl Net {
    /// Reads a file of weights; `name` is what a message calls the network.
    pub fn load(name: &'static str, file: &'static [u8]) -> Result<Net> {
        let model = Model::load_static_slice(file)
            .map_err(|e| Error::from(NetFault::Unreadable(name)).because(e))?;
        Ok(Net { name, model })
    }

    /// The network kept in `place`, read at the first call.
    pub fn once(
        place: &'static OnceLock<Option<Net>>,
        name: &'static str,
        file: &'static [u8],
    ) -> Result<&'static Net> {
        // On a thread of its own: a worker of a pool that waits here would begin another job of the pool, which waits
        // for this one.
        let load =
            || std::thread::scope(|s| s.spawn(|| Net::load(name, file).ok()).join().ok().flatten());
        let net = place.get_or_init(load);
        net.as_ref().ok_or_else(|| NetFault::Unreadable(name).into())
    }

    /// Runs the network on its one input; all its outputs in order.
    pub fn run(&self, input: Numbers) -> Result<Vec<Numbers>> {
        let failed = || NetFault::Failed(self.name);
        let tensor = Tensor::try_from_data(&input.shape, input.values)
            .map_err(|e| Error::from(failed()).because(e))?;
        let entry = *self.model.input_ids().first().ok_or_else(failed)?;
        let options = RunOptions::default().with_thread_pool(Some(pool()));
        let found = self
            .model
            .run(vec![(entry, tensor.into())], self.model.output_ids(), Some(options))
            .map_err(|e| Error::from(failed()).because(e))?;
        found.into_iter().map(|value| numbers(value).ok_or_else(|| failed().into())).collect()
    }
}

fn numbers(value: Value) -> Option<Numbers> {
    let tensor: Tensor<f32> = value.try_into().ok()?;
    Some(Numbers { shape: tensor.shape().to_vec(), values: tensor.to_vec() })
}
